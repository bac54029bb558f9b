/** The questions with this student's answers and working; with marks and their reasons where the worksheet has been marked. */
import type { Question } from '../../core/sheet/schema.ts';
import { hundredths } from '../../core/units/format.ts';
import { isUnitCode, unitOf } from '../../core/units/units.ts';
import { rowName, standingAnswer, type Attempt } from '../../core/worksheet/fold.ts';
import type { QuestionMark, Verdict } from '../../core/worksheet/marking-types.ts';
import { questionRows } from '../../core/worksheet/rows.ts';
import { hairline, hairlines, size, soft, step, type Block, type InlineText } from './ink.ts';
import type { Page } from './source.ts';

/** Longer texts are cut on paper, and say so; the attached record holds them whole. */
const LONGEST_PRINTED = 6000;

/** Every question with the student’s answers and, on a marked page, its marks. */
export function questionsPart(page: Page): Block[] {
  const { source, ink, width } = page;
  const { sheet } = source.session;
  return [{ ...ink.section('Questions and answers', width), headlineLevel: 3 }, ...sheet.questions.map((question, index) => questionBlock(page, question, index + 1))];
}

function questionBlock(page: Page, question: Question, number: number): Block {
  const { ink, source } = page;
  const mark = source.marking?.questions.find((one) => one.id === question.id);
  const marks: InlineText[] =
    mark === undefined
      ? ink.quiet(`${hundredths(question.marks)} marks`)
      : mark.verdict === 'void'
        ? ink.quiet('void', { bold: true })
        : mark.pending > 0
          ? ink.quiet(`– of ${hundredths(mark.outOf)}`)
          : [...ink.figure(hundredths(mark.marks), { bold: true, size: size.answer }), ...ink.quiet(` of ${hundredths(mark.outOf)}`)];
  const body: Block[] = [
    { text: ink.text(question.title, { bold: true, size: 9.6 }), role: 'H3' },
    { text: ink.quiet(question.ask, { size: 8.2 }), margin: [0, 1, 0, 3], lineHeight: 1.12 },
    ...answerBlocks(page, question, mark),
    ...(mark === undefined || (mark.rows.length > 1 && mark.kind === 'table') ? [] : [{ text: reasonText(page, mark, 8), margin: [0, 2, 0, 0], lineHeight: 1.12 } satisfies Block]),
    ...(mark === undefined ? [] : unitLine(page, mark)),
    ...(mark?.rubric !== undefined && mark.pending > 0 ? rubric(page, mark.rubric) : []),
  ];
  // A table or a long text may run over a page; everything else stays together.
  const long = (question.kind === 'written' && (standingAnswer(source.worksheet, question.id)?.typed.length ?? 0) > 900) || (question.kind === 'table' && body.length > 0 && questionRows(question, source.results.book).length > 6);
  return {
    columns: [
      { width: 20, text: ink.figure(String(number), { bold: true, color: soft, size: 9.6 }) },
      { width: '*', stack: body },
      { width: 58, text: marks, alignment: 'right' },
    ],
    columnGap: 6,
    margin: [0, step.small + 1, 0, step.small + 2],
    ...(long ? { headlineLevel: 2 } : { unbreakable: true }),
  };
}

/** The unit mark is lost once for a table, so it stands below its rows. */
export function unitLine({ ink }: Page, mark: QuestionMark): Block[] {
  if (mark.kind !== 'table' || mark.unitMarkLost === 0) return [];
  return [{ text: ink.text(`${hundredths(mark.unitMarkLost)} lost for the unit, once for the question.`, { size: 8 }), margin: [0, 2, 0, 0] }];
}

/** The answer that stands to one question, with its working; says so where there is none. */
export function answerBlocks(page: Page, question: Question, mark: QuestionMark | undefined): Block[] {
  const { ink, source } = page;
  if (question.kind === 'number' || question.kind === 'choice') return single(page, standingAnswer(source.worksheet, question.id));
  if (question.kind === 'written') {
    const attempt = standingAnswer(source.worksheet, question.id);
    if (attempt === undefined) return [notAnswered(page)];
    return [{ text: ink.text(cut(attempt.typed), { size: size.body }), lineHeight: 1.22 }, ...workingBlock(page, attempt)];
  }
  const rows = questionRows(question, source.results.book);
  if (rows.length === 0) return [{ text: ink.quiet(question.kind === 'table' ? 'No stage was completed, so this table has no rows.' : 'There is nothing to judge on this record.') }];
  const body = rows.map((row): Block[] => {
    const attempt = standingAnswer(source.worksheet, question.id, row.id);
    const rowMark = mark?.rows.find((one) => one.row !== undefined && rowName(one.row) === row.id);
    return [
      { text: ink.text(row.label ?? row.id ?? '', { size: 8.4 }) },
      { stack: attempt === undefined ? [{ text: ink.quiet('not answered') }] : [{ text: answerText(page, attempt, question.kind === 'judgement'), noWrap: true }, ...workingBlock(page, attempt)] },
      ...(mark === undefined || question.kind === 'judgement' ? [] : [{ text: rowMark === undefined ? [] : reasonText(page, rowMark, 7.8) } satisfies Block]),
    ];
  });
  const columns = body[0]?.length ?? 2;
  return [{ table: { widths: columns === 3 ? [98, '*', 168] : question.kind === 'table' ? [112, '*'] : [150, '*'], body, dontBreakRows: true }, layout: hairlines({ headerRows: 0, gap: 12 }) }];
}

/** A right answer's line is quiet; for any other, what happened stands first and stronger. */
export function reasonText({ ink }: Page, mark: { readonly verdict: Verdict; readonly marks: number; readonly outOf: number; readonly reason: string }, points: number): InlineText[] {
  const { verdict, reason } = mark;
  if (verdict === 'waiting' || verdict === 'not-answered' || (verdict === 'right' && mark.marks >= mark.outOf)) return ink.text(reason, { size: points, color: soft });
  if (verdict === 'wrong') return ink.text(reason, { size: points });
  const end = /^[^.:;]{4,140}[.:;](?=\s)/.exec(reason)?.[0] ?? '';
  return [...ink.text(end, { size: points, bold: true }), ...ink.text(reason.slice(end.length), { size: points })];
}

function single(page: Page, attempt: Attempt | undefined): Block[] {
  if (attempt === undefined) return [notAnswered(page)];
  return [{ text: answerText(page, attempt) }, ...workingBlock(page, attempt)];
}

function notAnswered({ ink }: Page): Block {
  return { text: ink.quiet('not answered', { size: size.body }) };
}

/** Ids of the window's choices, as people say them. */
export const spoken: Readonly<Record<string, string>> = { 'not-met': 'not met', 'cannot-be-judged': 'cannot be judged', max: 'maximal: VO₂max', peak: 'not shown to be maximal: VO₂peak' };

/** The answer as typed, large enough to find, with its unit as people write it. */
function answerText({ ink }: Page, attempt: Attempt, words = false): InlineText[] {
  const stated = cut(attempt.typed.trim(), 300);
  const typed = stated === '' ? 'no answer stated' : words ? (spoken[stated] ?? stated) : stated;
  const unit = attempt.unit === undefined ? '' : isUnitCode(attempt.unit) ? unitOf(attempt.unit).label : attempt.unit;
  const isFigure = /\d/.test(typed) && !words;
  return [...(isFigure ? ink.figure(typed, { bold: true, size: size.answer }) : ink.text(typed, { bold: true, size: words ? 8.6 : 10.5 })), ...(unit === '' ? [] : ink.text(`\u00a0${unit}`, { size: 8.6 }))];
}

/** Working beside a thin line, in figures. */
function workingBlock({ ink }: Page, attempt: Attempt): Block[] {
  const working = (attempt.working ?? '').trim();
  if (working === '') return [];
  return [
    {
      role: 'none',
      table: { widths: ['*'], body: [[{ text: ink.figure(cut(working, 2000), { size: 8 }), lineHeight: 1.15 }]] },
      layout: { ...hairlines({ headerRows: 0 }), hLineWidth: () => 0, vLineWidth: (at) => (at === 0 ? 1.2 : 0), vLineColor: () => hairline, paddingLeft: () => 6, paddingTop: () => 0, paddingBottom: () => 0 },
      margin: [1, 2, 0, 1],
    },
  ];
}

function rubric({ ink }: Page, levels: NonNullable<QuestionMark['rubric']>): Block[] {
  return [{ stack: levels.map((level): Block => ({ text: [...ink.figure(`${hundredths(level.marks)}  `, { size: 7.8, bold: true }), ...ink.quiet(level.says)], margin: [0, 1, 0, 0] })), margin: [0, 3, 0, 0] }];
}

function cut(text: string, longest = LONGEST_PRINTED): string {
  return text.length <= longest ? text : `${text.slice(0, longest)} … [${text.length - longest} more characters are in the attached record]`;
}
