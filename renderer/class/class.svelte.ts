/** The class view: which sets are looked at, which tests of them, and what is worked out from those. */
import { agreementOf } from '../../core/class/agreement.ts';
import { choicesOf, filterClass, type ClassFilter } from '../../core/class/filter.ts';
import { countsInWords, countsOf, gatherClass, type ClassEntry, type ClassWorksheet } from '../../core/class/gather.ts';
import { categoryBars, curvesOf, FEWEST_SHOWN, groupMeans, peopleIn, presented } from '../../core/class/groups.ts';
import { classCsv } from '../../core/class/csv.ts';
import type { SetSummary } from '../../core/contract/marking-sets.ts';
import type { Failure } from '../../core/result.ts';
import type { App } from '../app/app.svelte.ts';
import { base64OfText } from '../shared/base64.ts';

export type Part = 'agreement' | 'categories' | 'curves' | 'groups' | 'values';
export const parts: readonly { readonly id: Part; readonly label: string }[] = [
  { id: 'agreement', label: 'Measured and predicted' },
  { id: 'categories', label: 'Categories' },
  { id: 'curves', label: 'Heart rate' },
  { id: 'groups', label: 'Group means' },
  { id: 'values', label: 'All values' },
];

/** All sets of this station together. */
export const EVERY_SET = '';

export class ClassView {
  readonly #app: App;
  sets = $state.raw<readonly SetSummary[]>([]);
  set = $state(EVERY_SET);
  part = $state<Part>('agreement');
  filter = $state.raw<ClassFilter>({});
  /** For a room: no codes, no group under five, nothing opens. */
  presentation = $state(false);
  /** Session of the test that is set apart in the figures. */
  own = $state<string | undefined>(undefined);
  chosen = $state<string | undefined>(undefined);
  said = $state.raw<{ readonly level: 'info' | 'warning'; readonly text: string } | undefined>(undefined);
  failed = $state.raw<Failure | undefined>(undefined);
  isReady = $state(false);
  waiting = $state(0);
  #worksheets = $state.raw<readonly ClassWorksheet[]>([]);
  #method = $state<string | undefined>(undefined);
  #table = $state<string | undefined>(undefined);

  readonly data = $derived(gatherClass(this.#worksheets));
  readonly all = $derived(choicesOf(this.data.tests));
  readonly #filtered = $derived(filterClass(this.data.tests, this.filter));
  /** Fewer than five people are not shown to a room, in whatever way they were picked. */
  readonly isHeldBack = $derived(this.presentation && peopleIn(this.#filtered) < FEWEST_SHOWN);
  readonly tests = $derived<readonly ClassEntry[]>(this.isHeldBack ? [] : this.#filtered);
  readonly byId = $derived(new Map(this.tests.map((test) => [test.session, test])));
  readonly choices = $derived(choicesOf(this.tests));
  readonly counts = $derived(countsInWords(countsOf(this.tests)));
  /** What may be picked: in the presentation view no group, sex or term under five. */
  readonly offered = $derived.by(() => {
    const enough = (of: (value: string) => ClassFilter) => (choice: { readonly value: string }) => !this.presentation || peopleIn(filterClass(this.data.tests, of(choice.value))) >= FEWEST_SHOWN;
    return {
      groups: this.all.groups.filter(enough((group) => ({ group }))),
      sexes: this.all.sexes.filter(enough((sex) => ({ sex: sex as 'female' | 'male' }))),
      sheets: this.all.sheets.filter(enough((sheet) => ({ sheet }))),
      terms: this.all.terms.filter(enough((term) => ({ term }))),
    };
  });
  readonly method = $derived(this.choices.methods.find((one) => one.value === this.#method)?.value ?? this.choices.methods[0]?.value);
  readonly table = $derived(this.choices.tables.find((one) => one.value === this.#table)?.value ?? this.choices.tables[0]?.value);
  readonly agreement = $derived(this.method === undefined ? undefined : agreementOf(this.tests, this.method));
  readonly categories = $derived(this.table === undefined ? undefined : categoryBars(this.tests, this.table));
  readonly exercise = $derived(curvesOf(this.tests, 'exercise'));
  readonly recovery = $derived(curvesOf(this.tests, 'recovery'));
  readonly groups = $derived.by(() => {
    const rows = groupMeans(this.tests, this.method);
    return this.presentation ? presented(rows) : { rows, heldBack: 0 };
  });
  /** Marks of two shapes only where neither sex is a handful. */
  readonly showsSex = $derived(!this.presentation || this.choices.sexes.every((choice) => peopleIn(filterClass(this.tests, { sex: choice.value as 'female' | 'male' })) >= FEWEST_SHOWN));
  readonly chosenTest = $derived(this.presentation || this.chosen === undefined ? undefined : this.byId.get(this.chosen));

  constructor(app: App) {
    this.#app = app;
  }

  /** @param set the set to show first, from the address. */
  async load(set: string | undefined): Promise<void> {
    const listed = await this.#app.station.api.call('set.list', {});
    if (!listed.ok) return void (this.failed = listed.error);
    this.sets = listed.value.filter((one) => !one.archived && one.trouble === undefined);
    await this.show(set !== undefined && this.sets.some((one) => one.id === set) ? set : this.sets.length === 1 ? (this.sets[0]?.id ?? EVERY_SET) : EVERY_SET);
  }

  async show(set: string): Promise<void> {
    this.set = set;
    this.failed = undefined;
    const wanted = set === EVERY_SET ? this.sets : this.sets.filter((one) => one.id === set);
    const found: ClassWorksheet[] = [];
    let waiting = 0;
    for (const one of wanted) {
      const answer = await this.#app.station.api.call('set.class', { set: one.id });
      if (this.set !== set) return;
      if (!answer.ok) {
        this.failed = answer.error;
        continue;
      }
      found.push(...answer.value.worksheets.map((worksheet) => ({ ...worksheet, key: `${one.id}/${worksheet.key}` })));
      waiting += answer.value.waiting;
    }
    this.#worksheets = found;
    this.waiting = waiting;
    this.chosen = undefined;
    this.own = undefined;
    this.isReady = true;
  }

  pick<Key extends keyof ClassFilter>(key: Key, value: ClassFilter[Key] | undefined): void {
    const { [key]: _, ...rest } = this.filter;
    this.filter = (value === undefined ? rest : { ...rest, [key]: value }) as ClassFilter;
  }

  by(method: string): void {
    this.#method = method;
  }
  against(table: string): void {
    this.#table = table;
  }

  present(on: boolean): void {
    this.presentation = on;
    this.own = undefined;
    this.chosen = undefined;
    if (!on) return;
    if (this.part === 'values') this.part = 'agreement';
    // A choice that would single few people out does not stay.
    const { group, sex, term, sheet } = this.filter;
    const stays = (choices: readonly { readonly value: string }[], value: string | undefined): boolean => value === undefined || choices.some((choice) => choice.value === value);
    if (!stays(this.offered.groups, group)) this.pick('group', undefined);
    if (!stays(this.offered.sexes, sex)) this.pick('sex', undefined);
    if (!stays(this.offered.terms, term)) this.pick('term', undefined);
    if (!stays(this.offered.sheets, sheet)) this.pick('sheet', undefined);
  }

  /** Opens the first worksheet that carries the test; the others are named beside the figure. */
  open(session: string, key?: string): void {
    if (this.presentation) return;
    const [set, file] = (key ?? this.byId.get(session)?.worksheets[0]?.key ?? '').split('/');
    if (set && file) this.#app.router.go({ screen: 'marking', set, file });
  }

  async saveData(): Promise<void> {
    await this.save('class.csv', classCsv(this.tests, { codes: !this.presentation }));
  }

  async save(name: string, text: string): Promise<void> {
    const saved = await this.#app.saveFile({ name, mime: 'text/csv', base64: base64OfText(text) });
    this.said = !saved.ok ? { level: 'warning', text: saved.error.message } : saved.value.saved ? { level: 'info', text: `Written: ${saved.value.where ?? `${name}, in the folder for downloads`}.` } : undefined;
  }
}

const views = new WeakMap<App, ClassView>();
/** One view a window: filters stay while a worksheet is looked at. */
export function classViewOf(app: App): ClassView {
  let view = views.get(app);
  if (!view) views.set(app, (view = new ClassView(app)));
  return view;
}
