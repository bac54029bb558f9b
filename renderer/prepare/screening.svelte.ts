/** The private page: its answers live in this object only and go when the page goes. Nothing of them is ever written. */
import { activityRows, forMaximalTest, healthColumns, publishedAdvice, type Activity, type Health } from '../../core/session/screening.ts';
import type { SessionData } from '../../core/session/events.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';

export type Outcome = SessionData<'screening-done'>['outcome'];

export const outcomes: readonly { readonly id: Outcome; readonly label: string; readonly says: string }[] = [
  { id: 'go', label: 'Go', says: 'Nothing speaks against this test today.' },
  { id: 'another-test', label: 'Another test', says: 'This lab sheet is not the test for this person.' },
  { id: 'no-test-today', label: 'No test today', says: 'Stands for the day; it is not set aside by anyone.' },
];

export class PrivatePage {
  activity = $state<Activity | undefined>(undefined);
  health = $state<Health | undefined>(undefined);
  outcome = $state<Outcome | undefined>(undefined);
  by = $state('');
  refused = $state<string | undefined>(undefined);
  readonly #sheet: LabSheet;

  constructor(sheet: LabSheet) {
    this.#sheet = sheet;
  }

  readonly rows = activityRows.map((row) => ({ ...row, cells: healthColumns.map((column) => ({ id: column.id, advice: publishedAdvice(row.id, column.id) })) }));
  readonly columns = healthColumns;
  readonly gives = $derived.by(() => {
    const { activity, health } = this;
    if (activity === undefined || health === undefined) return undefined;
    return { advice: publishedAdvice(activity, health), here: this.#sheet.kind === 'maximal' ? forMaximalTest(activity, health) : undefined };
  });
}
