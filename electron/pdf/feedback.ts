/**
 * One student's marked worksheet on paper: marks, the reason of each award, the worked solution with the student's own numbers,
 * what the marker wrote, by which key and by whom. The record that was handed in is attached as it came.
 */
import type { FigureConfig } from '../../core/figures/figure.ts';
import type { LabSheet, Question } from '../../core/sheet/schema.ts';
import { hundredths } from '../../core/units/format.ts';
import { ATTACHMENT_NAME, seriesTextOf, worksheetFileText, type WorksheetFile } from '../../core/worksheet/file.ts';
import type { MarkingInput } from '../../core/worksheet/expected.ts';
import type { Marking, QuestionMark, RowMark } from '../../core/worksheet/marking-types.ts';
import { markingInput } from '../../core/worksheet/record.ts';
import { workedSolution, type WorkedLine } from '../../core/worksheet/worked-solution.ts';
import { drawFigure } from './draw-figure.ts';
import { wayMark } from './head.ts';
import { hairline, hairlines, Ink, ink as dark, rule, size, soft, step, type Block, type InlineText } from './ink.ts';
import { margin, print, textWidth, type Paper } from './printer.ts';
import { answerBlocks, reasonText, spoken, unitLine } from './questions-part.ts';
import { dayAndTime, sourceOf, type Page } from './source.ts';

/** Where a mark came from. What a marking set's `award` says, and less. */
export interface FeedbackAward {
  /** Initials, or `program` for an automatic mark. */
  readonly marker?: string | undefined;
  readonly key?: string | undefined;
  readonly automatic?: { readonly marks: number; readonly reason: string } | undefined;
  /** Marks given by hand; the first is in force. */
  readonly byHand?: readonly { readonly by: string; readonly marks: number; readonly comment?: string | undefined }[] | undefined;
}

/** Marks after moderation. */
export interface FeedbackMarking extends Omit<Marking, 'questions'> {
  readonly questions: readonly (Omit<QuestionMark, 'rows'> & { readonly award?: FeedbackAward | undefined; readonly rows: readonly (RowMark & { readonly award?: FeedbackAward | undefined })[] })[];
}

export interface FeedbackInput {
  /** As it was handed in; its chains have been checked. */
  readonly file: WorksheetFile;
  readonly marking: FeedbackMarking;
  /** The sheet that marked, with its answer key; without it the copy in the record, which the page then says. */
  readonly sheet?: LabSheet | undefined;
  /** Name of the key version: "v2 (3f9a)". */
  readonly key: string;
  /** Initials of those who marked; empty where the program marked alone. */
  readonly markers: readonly string[];
  /** Marks for the shared record, given once for all of its students. */
  readonly shared?: readonly { readonly title: string; readonly marks: number; readonly outOf: number; readonly by: string; readonly comment?: string | undefined }[] | undefined;
  /** What counts after the rule for late work, where it differs from the sum. */
  readonly late?: { readonly total: number; readonly says: string } | undefined;
  /** Said about the whole worksheet. */
  readonly comment?: { readonly by: string; readonly text: string } | undefined;
  /** The class, with this student's own test set apart. */
  readonly figures?: readonly { readonly title: string; readonly config: FigureConfig; readonly alt: string; readonly caption: string }[] | undefined;
  readonly paper: Paper;
  readonly version: string;
  /** Wall clock of the writing, ISO 8601: the same input gives the same bytes. */
  readonly wall: string;
}

/** @throws {Error} when a record's chain is broken: such a file is not marked and has no feedback. */
export async function writeFeedback(input: FeedbackInput): Promise<Uint8Array> {
  const { file, marking } = input;
  const base = sourceOf({ session: file.session.events, worksheet: file.worksheet.events, text: seriesTextOf(file), version: input.version, wall: input.wall, signed: file.session.signature !== undefined });
  // Questions, rows and results by the sheet that marked, and not by the copy in the record.
  const marked = markingInput(base.session, base.worksheet, input.sheet, seriesTextOf(file));
  const source = { ...base, session: { ...base.session, sheet: marked.sheet }, results: { ...base.results, book: marked.book } };
  const ink = new Ink();
  const page: Page = { source, ink, width: textWidth(input.paper) };
  const content: Block[] = [
    ...title(page, input),
    ...shared(page, input),
    { ...ink.section('Questions', page.width), headlineLevel: 1 },
    ...marked.sheet.questions.flatMap((question, index) => questionBlocks(page, question, index + 1, marking, marked)),
    ...figures(page, input),
    ...closing(page, input),
  ];
  const mark = wayMark(base.session.way);
  const who = ink.quiet(`${marking.student}   ·   feedback   ·   ${marking.sheet.title}${mark === undefined ? '' : `   ·   ${mark}`}`, { size: 7.4 });
  const left = ink.quiet(`A teaching record; it clears nobody to exercise.   Key ${input.key}   Stagecall ${input.version}, ${dayAndTime(input.wall)}`, { size: 6.9, color: soft });
  return print({
    paper: input.paper,
    title: `${marking.sheet.title}: feedback for ${marking.student}`,
    subject: mark ?? 'Marked worksheet of a graded exercise test',
    version: input.version,
    wall: input.wall,
    content,
    header: () => ({ columns: [{ width: '*', text: who }], margin: [margin.left, 28, margin.right, 0] }),
    footer: (at, of) => ({
      stack: [rule(page.width), { columns: [{ width: '*', text: left }, { width: 'auto', text: ink.figure(`${at} of ${of}`, { size: 7.4, color: soft }), alignment: 'right' }], margin: [0, 4, 0, 0] }],
      margin: [margin.left, 12, margin.right, 0],
    }),
    attachment: { name: ATTACHMENT_NAME, text: worksheetFileText(file), description: 'The record that was handed in, as it came (stagecall-worksheet/1)' },
  });
}

function title({ ink, source, width }: Page, { marking, markers, key, late, comment, sheet }: FeedbackInput): Block[] {
  const by = markers.length === 0 ? 'Marked by the program' : `Marked by ${markers.join(', ')} and the program`;
  const handedIn = source.worksheet.handedIn === undefined ? 'not handed in' : `handed in ${dayAndTime(source.worksheet.handedIn.wall)}`;
  const total = late?.total ?? marking.total;
  return [
    {
      columns: [
        {
          width: '*',
          stack: [
            { text: [...ink.quiet('Feedback for ', { size: size.body }), ...ink.text(marking.student, { bold: true, size: size.body }), ...(marking.participant === undefined ? [] : [...ink.quiet('   Participant ', { size: size.body }), ...ink.text(marking.participant, { bold: true, size: size.body })])] },
            { text: ink.text(marking.sheet.title, { bold: true, size: size.title }), role: 'H1', margin: [0, 3, 0, 2], lineHeight: 1.05 },
            { text: ink.quiet(`${by}   ·   key ${key}   ·   ${handedIn}`, { size: 8.4 }) },
          ],
        },
        {
          width: 110,
          stack: [
            { text: [...ink.figure(hundredths(total), { bold: true, size: 24 }), ...ink.quiet(`  of ${hundredths(marking.outOf)}`, { size: size.body })], alignment: 'right' },
            ...(marking.pending > 0 ? [{ text: ink.quiet(`${hundredths(marking.pending)} wait for the marker`), alignment: 'right' } satisfies Block] : []),
          ],
        },
      ],
      columnGap: 12,
    },
    rule(width, dark, 0.8),
    ...(late === undefined ? [] : [{ text: ink.text(`${late.says} Earned: ${hundredths(marking.total)} of ${hundredths(marking.outOf)}.`, { size: 8.6 }), margin: [0, 4, 0, 0] } satisfies Block]),
    ...(sheet === undefined ? [{ text: ink.text('Marked by the copy of the lab sheet in the file: an unverified key.', { size: 8.6, bold: true }), margin: [0, 4, 0, 0] } satisfies Block] : []),
    ...(comment === undefined ? [] : said(ink, comment.by, comment.text)),
  ];
}

/** What a marker wrote, beside a strong line: it is found at once, in black and white too. */
function said(ink: Ink, by: string, text: string, before: InlineText[] = []): Block[] {
  return [
    {
      role: 'none',
      table: { widths: ['*'], body: [[{ text: [...ink.text(`${by}: `, { bold: true, size: 8.6 }), ...before, ...ink.text(text, { size: 8.6 })], lineHeight: 1.15 }]] },
      layout: { ...hairlines({ headerRows: 0 }), hLineWidth: () => 0, vLineWidth: (at) => (at === 0 ? 2 : 0), vLineColor: () => dark, paddingLeft: () => 6, paddingTop: () => 0, paddingBottom: () => 0 },
      margin: [1, 3, 0, 2],
    },
  ];
}

function shared({ ink, width }: Page, { shared: items }: FeedbackInput): Block[] {
  if (items === undefined || items.length === 0) return [];
  const body = items.map((item): Block[] => [
    { text: ink.text(item.title, { size: 8.6 }) },
    { text: ink.text(item.comment === undefined ? item.by : `${item.by}: ${item.comment}`, { size: 8.2 }) },
    { text: [...ink.figure(hundredths(item.marks), { bold: true }), ...ink.quiet(` of ${hundredths(item.outOf)}`)], alignment: 'right', noWrap: true },
  ]);
  return [ink.section('The shared record', width), { table: { widths: [150, '*', 'auto'], body, dontBreakRows: true }, layout: hairlines({ headerRows: 0, gap: 12 }) }];
}

type MarkedQuestion = FeedbackMarking['questions'][number];

function questionBlocks(page: Page, question: Question, number: number, marking: FeedbackMarking, marked: MarkingInput): Block[] {
  const { ink } = page;
  const mark = marking.questions.find((one) => one.id === question.id);
  if (mark === undefined) return [];
  const marks: InlineText[] =
    mark.verdict === 'void' ? ink.quiet('void', { bold: true }) : mark.pending > 0 ? ink.quiet(`– of ${hundredths(mark.outOf)}`) : [...ink.figure(hundredths(mark.marks), { bold: true, size: size.answer }), ...ink.quiet(` of ${hundredths(mark.outOf)}`)];
  const inRows = mark.rows.length > 1 && mark.kind === 'table';
  const body: Block[] = [
    { text: ink.text(question.title, { bold: true, size: 9.6 }), role: 'H3' },
    { text: ink.quiet(question.ask, { size: 8 }), margin: [0, 1, 0, 3], lineHeight: 1.12 },
    ...answerBlocks(page, question, mark),
    ...(inRows ? [] : [{ text: reasonText(page, mark, 8.2), margin: [0, 2, 0, 0], lineHeight: 1.12 } satisfies Block]),
    ...unitLine(page, mark),
    ...moderated(ink, mark),
    ...rubric(ink, mark),
    ...solution(ink, question, marked),
  ];
  return [
    {
      columns: [
        { width: 20, text: ink.figure(String(number), { bold: true, color: soft, size: 9.6 }) },
        { width: '*', stack: body },
        { width: 58, text: marks, alignment: 'right' },
      ],
      columnGap: 6,
      margin: [0, step.small + 1, 0, step.small + 3],
      // A long answer or a long table runs over a page; everything else stays together.
      ...(question.kind === 'written' || mark.rows.length > 4 ? { headlineLevel: 2 } : { unbreakable: true }),
    },
  ];
}

function moderated(ink: Ink, mark: MarkedQuestion): Block[] {
  const one = (award: FeedbackAward | undefined, where: string): Block[] => {
    const [standing] = award?.byHand ?? [];
    if (standing === undefined) return [];
    const was = award?.automatic === undefined || award.automatic.marks === standing.marks ? '' : ` (${hundredths(award.automatic.marks)} before)`;
    return said(ink, standing.by, standing.comment ?? '', ink.text(`${where}${hundredths(standing.marks)} given by hand${was}. `, { size: 8.6 }));
  };
  return [...one(mark.award, ''), ...mark.rows.flatMap((row) => one(row.award, row.label === undefined ? '' : `${row.label}: `))];
}

/** The level that was given stands in bold with a mark before it, so that it is told without colour. */
function rubric(ink: Ink, mark: MarkedQuestion): Block[] {
  if (mark.rubric === undefined) return [];
  const given = mark.pending > 0 ? undefined : mark.marks;
  const levels = mark.rubric.map((level): Block => {
    const own = level.marks === given;
    return {
      role: 'P',
      columns: [
        { width: 10, text: own ? ink.text('✓', { size: 7.8, bold: true }) : '' },
        { width: 16, text: ink.figure(hundredths(level.marks), { size: 7.8, bold: true }) },
        { width: '*', text: ink.text(level.says, { size: 7.8, bold: own, ...(own ? {} : { color: soft }) }) },
      ],
      margin: [0, 1, 0, 0],
    };
  });
  return [{ stack: levels, margin: [0, 3, 0, 0] }];
}

/** A choice as people say it. */
function inWords(question: Question, answer: string): string {
  if (question.kind === 'choice') return question.choices?.find((choice) => choice.id === answer)?.label ?? spoken[answer] ?? answer;
  return question.kind === 'judgement' ? (spoken[answer] ?? answer) : answer;
}

/** How the right value comes about with this record's own numbers. */
function solution(ink: Ink, question: Question, marked: MarkingInput): Block[] {
  if (question.kind === 'written') return [];
  let lines: readonly WorkedLine[];
  try {
    const solved = workedSolution(question, marked);
    if (solved.void !== undefined) return [{ text: ink.quiet(`No solution on this record: ${solved.void}.`), margin: [0, 3, 0, 0] }];
    lines = solved.lines;
  } catch {
    return [{ text: ink.quiet('The solution could not be worked out on this record.'), margin: [0, 3, 0, 0] }];
  }
  if (lines.length === 0) return [];
  const equations = [...new Set(lines.flatMap((line) => (line.equation === undefined ? [] : [line.equation])))];
  const sources = [...new Set(lines.flatMap((line) => (line.source === undefined ? [] : [line.source])))];
  const body = lines.map((line): Block => {
    const before = [line.label, line.by].filter((part) => part !== undefined).join(', ');
    // A written-out working ends in its result; where it does not, the answer is said after it.
    const answer = inWords(question, line.answer);
    const flat = (text: string): string => text.replace(/\s+/g, ' ').trim();
    const ends = line.working !== undefined && flat(line.working).endsWith(`= ${flat(answer)}`);
    const working = line.working === undefined ? answer : ends ? line.working : `${line.working}   →   ${answer}`;
    return { text: [...(before === '' ? [] : ink.quiet(`${before}:  `)), ...ink.figure(working, { size: 8 })], margin: [0, 1, 0, 0], lineHeight: 1.1 };
  });
  return [
    {
      role: 'none',
      table: {
        widths: ['*'],
        body: [
          [
            {
              stack: [
                { text: [...ink.text('Worked solution  ', { bold: true, size: 8 }), ...ink.text(equations.join('   or   '), { size: 8 })] },
                ...body,
                ...(sources.length === 0 ? [] : [{ text: ink.quiet(sources.join('; '), { size: 6.9 }), margin: [0, 1, 0, 0] } satisfies Block]),
              ],
            },
          ],
        ],
      },
      layout: { ...hairlines({ headerRows: 0 }), hLineWidth: () => 0.4, hLineColor: () => hairline, paddingLeft: () => 0, paddingTop: () => 3, paddingBottom: () => 3 },
      margin: [0, 4, 0, 0],
    },
  ];
}

function figures({ ink, width }: Page, { figures: drawn }: FeedbackInput): Block[] {
  if (drawn === undefined || drawn.length === 0) return [];
  return drawn.map((figure, index): Block => {
    const height = 230;
    return {
      stack: [
        ...(index === 0 ? [ink.section('You in the class', width)] : []),
        { text: ink.text(figure.title, { bold: true, size: 9 }), role: 'H3', margin: [0, 4, 0, 2] },
        { svg: drawFigure(figure.config, width * 0.8, height), width: width * 0.8, alt: figure.alt },
        { text: ink.quiet(figure.caption), role: 'Caption', margin: [0, 3, 0, 0] },
      ],
      unbreakable: true,
    };
  });
}

function closing({ ink, width, source }: Page, { marking }: FeedbackInput): Block[] {
  const replaced = ink.replaced === 0 ? [] : [`${ink.replaced === 1 ? 'One character' : `${ink.replaced} characters`} could not be printed and stand as \ufffd here; the attached record holds them as they were typed.`];
  const about = [
    `Marks are worked out anew from the record that was handed in (session ${source.session.id}, ${source.seals.session}…; worksheet ${source.worksheet.id}, ${source.seals.worksheet}…). It is attached to this file as ${ATTACHMENT_NAME}.${marking.pending > 0 ? ' Some marks are still to come.' : ''}`,
    'This is a teaching record. It diagnoses nothing and clears nobody to exercise. Local rules and licensed practice come first.',
    ...replaced,
  ];
  return [{ stack: [rule(width), ...about.map((text): Block => ({ text: ink.quiet(text, { size: 7 }), margin: [0, 3, 0, 0], lineHeight: 1.1 }))], margin: [0, step.section, 0, 0], unbreakable: true }];
}
