/** Feedback of one worksheet of a set: what the page needs is gathered at the station, and written in a process of its own. */
import type { Agreement } from '../../core/class/agreement.ts';
import { agreementOf } from '../../core/class/agreement.ts';
import { choicesOf } from '../../core/class/filter.ts';
import { blandAltmanChart, identityChart, signed } from '../../core/class/figures.ts';
import { gatherClass, type ClassWorksheet } from '../../core/class/gather.ts';
import { FEWEST_SHOWN, peopleIn } from '../../core/class/groups.ts';
import { agreementInWords } from '../../core/class/words.ts';
import { printLook } from '../../core/figures/figure.ts';
import type { SetFileRow } from '../../core/marking-set/view-types.ts';
import { PROGRAM, type ModeratedMarking } from '../../core/marking-set/moderate.ts';
import type { WorksheetFile } from '../../core/worksheet/file.ts';
import { keyedSheet } from '../../core/worksheet/answer-key.ts';
import type { FeedbackInput } from '../pdf/feedback.ts';
import { unpackRecord, type SetKey } from './open-for-set.ts';
import type { Limits } from './pool.ts';

export interface FeedbackTask {
  readonly packed: Uint8Array;
  readonly marking: ModeratedMarking;
  readonly key: SetKey | undefined;
  readonly keyName: string;
  readonly row: SetFileRow;
  /** The class by one method, where this student's test is in it and enough people are. */
  readonly agreement?: Agreement | undefined;
  readonly paper: 'A4' | 'Letter';
  readonly version: string;
  readonly wall: string;
}

/** A page with figures takes longer than opening a file, and the first one loads the faces. */
export const feedbackLimits: Limits = { seconds: 20, clockSeconds: 60, megabytes: 600 };

/** Runs in the marking process. */
export async function feedbackBytes(task: FeedbackTask): Promise<Uint8Array> {
  const { writeFeedback } = await import('../pdf/feedback.ts');
  const { marking, row, agreement } = task;
  const loaded = task.key === undefined ? undefined : keyedSheet(task.key.sheet, task.key.key);
  const late = row.findings.find((finding) => finding.code === 'late');
  return writeFeedback({
    file: JSON.parse(unpackRecord(task.packed).replace(/^\ufeff/, '')) as WorksheetFile,
    marking,
    ...(loaded?.ok === true ? { sheet: loaded.sheet } : {}),
    key: task.keyName,
    markers: markersOf(marking),
    shared: marking.questions.flatMap(({ kind, title, marks, outOf, pending, award }) => {
      const comment = award.byHand[0]?.comment;
      return kind !== 'record' || pending > 0 ? [] : [{ title, marks, outOf, by: award.marker, ...(comment === undefined ? {} : { comment }) }];
    }),
    ...(row.total === undefined || row.total === row.earned ? {} : { late: { total: row.total, says: late?.text ?? 'after the rule for late work' } }),
    ...(agreement === undefined ? {} : { figures: ownFigures(agreement, marking.session) }),
    paper: task.paper,
    version: task.version,
    wall: task.wall,
  });
}

function markersOf(marking: ModeratedMarking): readonly string[] {
  const all = marking.questions.flatMap(({ award, rows }) => [award, ...rows.map((row) => row.award)]).flatMap((award) => award?.byHand[0]?.by ?? []);
  return [...new Set(all)].filter((marker) => marker !== PROGRAM).toSorted();
}

/** The class by the method with most tests, where a student's own test is in it and five people or more are. */
export function classOfFeedback(worksheets: readonly ClassWorksheet[], session: string): Agreement | undefined {
  const { tests } = gatherClass(worksheets);
  const own = tests.find((test) => test.session === session);
  const method = choicesOf(tests).methods.find(({ value }) => own?.predicted.some((one) => one.method === value))?.value;
  if (own === undefined || method === undefined) return undefined;
  const agreement = agreementOf(tests, method);
  const inIt = new Set(agreement.pairs.map((pair) => pair.session));
  return inIt.has(session) && peopleIn(tests.filter((test) => inIt.has(test.session))) >= FEWEST_SHOWN ? agreement : undefined;
}

/** No code is in them: the others are points. */
function ownFigures(agreement: Agreement, session: string): FeedbackInput['figures'] {
  const own = agreement.pairs.find((pair) => pair.session === session);
  if (own === undefined) return [];
  const caption = `${agreement.title}: n ${agreement.pairs.length}. The large mark is your test: measured ${own.measured.toFixed(1)}, predicted ${own.predicted.toFixed(1)}, difference ${signed(own.predicted - own.measured, 1)} mL/kg/min.`;
  const alt = `${caption} ${agreementInWords(agreement)}`;
  return [
    { title: 'The class: measured against predicted', config: identityChart(agreement, printLook, { own: session }), alt, caption: `${caption} Solid: identity; dashed: regression.` },
    { title: 'The class: difference on mean', config: blandAltmanChart(agreement, printLook, { own: session }), alt, caption: `Predicted − measured, with bias, limits of agreement and their 95 % intervals; dotted: trend. n ${agreement.pairs.length}.` },
  ];
}

/** `group A/s-1.pdf` stays; a record handed in as `.json` gets `.pdf` after its name, so that it cannot meet another file's. */
export function feedbackName({ folder, name }: Pick<SetFileRow, 'folder' | 'name'>): string {
  const own = /\.pdf$/i.test(name) ? name : `${name}.pdf`;
  return folder === '' ? own : `${folder}/${own}`;
}
