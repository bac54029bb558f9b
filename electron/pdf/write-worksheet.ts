/**
 * Writes the one file that is handed in: a PDF that people read and keep, with the session and this student's worksheet
 * attached inside as data. What is printed is for people; marks are only ever worked out from the attachment.
 */
import type { StoredEvent } from '../../core/record/event.ts';
import { exerciseChart, exerciseInWords, exercisePlot } from '../../core/figures/exercise.ts';
import { printLook } from '../../core/figures/figure.ts';
import { recoveryChart, recoveryInWords, recoveryPlot } from '../../core/figures/recovery.ts';
import { ATTACHMENT_NAME, buildWorksheetFile, seriesTextOf, worksheetFileText, type SessionSignature } from '../../core/worksheet/file.ts';
import type { Marking } from '../../core/worksheet/marking-types.ts';
import { drawFigure } from './draw-figure.ts';
import { checks, conditions, overrides, titleBlock, wayMark } from './head.ts';
import { Ink, rule, size, soft, step, type Block, type TableLayout } from './ink.ts';
import { margin, print, textWidth, type Paper } from './printer.ts';
import { questionsPart } from './questions-part.ts';
import { exerciseTable, leaving, recoveryTable } from './record-table.ts';
import { resultsPart } from './results-part.ts';
import { dayAndTime, sourceOf, type Page } from './source.ts';

export interface WorksheetPdfInput {
  readonly session: { readonly events: readonly StoredEvent[]; readonly signature?: SessionSignature | undefined };
  readonly worksheet: { readonly events: readonly StoredEvent[] };
  /** The gas exchange file that the session names. */
  readonly series?: { readonly hash: string; readonly text: string } | undefined;
  readonly paper: Paper;
  /** Of this program, printed at the foot. */
  readonly version: string;
  /** Given where the page carries marks. */
  readonly marking?: Marking | undefined;
  /** Wall clock of the writing, ISO 8601: the same input gives the same bytes. */
  readonly wall: string;
}

/** @throws {Error} when a record's chain is broken, or the worksheet is not this session's. */
export async function writeWorksheet(input: WorksheetPdfInput): Promise<Uint8Array> {
  const file = buildWorksheetFile({ session: input.session, worksheet: input.worksheet, version: input.version, ...(input.series === undefined ? {} : { series: input.series }) });
  const source = sourceOf({ session: input.session.events, worksheet: input.worksheet.events, text: seriesTextOf(file), marking: input.marking, version: input.version, wall: input.wall, signed: input.session.signature !== undefined });
  const ink = new Ink();
  const page: Page = { source, ink, width: textWidth(input.paper) };
  const content: Block[] = [
    ...titleBlock(page),
    ...conditions(page),
    ...overrides(page),
    ...exerciseTable(page),
    ...exerciseFigure(page),
    ...recoverySection(page),
    ...resultsPart(page),
    ...questionsPart(page),
    ...checks(page),
    ...cautions(page),
  ];
  const mark = wayMark(source.session.way);
  const running = runningHead(page, mark);
  const foot = footer(page);
  return print({
    paper: input.paper,
    title: `${source.session.sheet.title}: worksheet ${source.worksheet.student}`,
    author: source.worksheet.student,
    subject: mark ?? 'Graded exercise test, teaching record',
    version: input.version,
    wall: input.wall,
    content,
    header: running,
    footer: foot,
    attachment: { name: ATTACHMENT_NAME, text: worksheetFileText(file), description: 'The record of the session and this student’s worksheet (stagecall-worksheet/1)' },
  });
}

function exerciseFigure({ source, ink, width }: Page): Block[] {
  const plot = exercisePlot(source.session, source.results.stages);
  if (plot.heartRate.length + plot.uptake.length === 0) return [];
  const height = 170;
  return [
    {
      stack: [
        { svg: drawFigure(exerciseChart(plot, printLook, undefined), width, height), width, alt: exerciseInWords(plot) },
        { text: ink.quiet('●  heart rate     □  oxygen uptake, mean of the stage’s last part     ▬  predicted for the stage’s real setting     shaded: every other stage'), margin: [0, 3, 0, 0], role: 'Caption' },
      ],
      unbreakable: true,
      margin: [0, step.block + 2, 0, 0],
    },
  ];
}

/** Recovery beside its curve: the table is narrow, and the two are read together. */
function recoverySection(page: Page): Block[] {
  const { source, ink, width } = page;
  if (source.session.starts.recovery === undefined) return [];
  const plot = recoveryPlot(source.session, source.session.starts.closed ?? source.session.starts.recovery);
  const drawn = plot.heartRate.length + plot.systolic.length > 1;
  const figureWidth = width * 0.5;
  const figure: Block[] = drawn
    ? [
        {
          width: figureWidth,
          stack: [
            { svg: drawFigure(recoveryChart(plot, printLook), figureWidth, 138), width: figureWidth, alt: recoveryInWords(plot) },
            { text: ink.quiet('●  heart rate     □  systolic pressure     dashed: at rest'), margin: [0, 2, 0, 0], role: 'Caption' },
          ],
        },
      ]
    : [];
  return [
    ink.section('Recovery', width),
    ...(drawn ? [{ columns: [{ width: '*', stack: recoveryTable(page) }, ...figure], columnGap: 18, unbreakable: plot.heartRate.length < 16 } satisfies Block] : recoveryTable(page)),
    ...leaving(page),
  ];
}

function cautions(page: Page): Block[] {
  const { source, ink, width } = page;
  const { sheet } = source.session;
  const replaced = ink.replaced === 0 ? [] : [`${ink.replaced === 1 ? 'One character' : `${ink.replaced} characters`} could not be printed and stand as \ufffd here; the attached record holds them as they were typed.`];
  const proof = source.signed ? 'The closing hash is signed by the station’s key.' : 'The record is not signed by a station.';
  const about = [
    `The record is attached to this file as ${ATTACHMENT_NAME}: session ${source.session.id}, closing hash ${source.seals.session}…; worksheet ${source.worksheet.id}, ${source.seals.worksheet}…. ${proof} What is printed is a copy for reading; marks are worked out from the attached record.`,
    ...replaced,
  ];
  const blocks: Block[] = [
    ink.section('Cautions', width),
    { text: ink.text('This is a teaching record. It diagnoses nothing and clears nobody to exercise. The institution’s own procedures, local rules and licensed practice come first.', { size: size.body, bold: true }), lineHeight: 1.15, margin: [0, 2, 0, 3] },
    ...sheet.cautions.map((text): Block => ({ text: ink.quiet(text, { size: 7.8 }), margin: [0, 1.6, 0, 0], lineHeight: 1.1 })),
    rule(width),
    ...about.map((text): Block => ({ text: ink.quiet(text, { size: 7 }), margin: [0, 3, 0, 0], lineHeight: 1.1 })),
  ];
  // Kept together where they fit on a page, so that no last page holds two lines of them.
  return sheet.cautions.join('').length < 4000 ? [{ stack: blocks, unbreakable: true }] : blocks;
}

/** From the second page on it says whose sheet this is; the mark of a rehearsal or a keyed-in sheet is on every page. */
function runningHead({ source, ink }: Page, mark: string | undefined): (at: number) => Block {
  const who = ink.quiet(`${source.worksheet.student}   ·   ${source.session.details['participant-code']?.typed ?? ''}   ·   ${source.session.sheet.title}`, { size: 7.4 });
  // White on black: it is not overlooked, nor lost in a copy.
  const marked: Block = mark === undefined ? { width: 0, text: '' } : { width: 'auto', table: { widths: ['auto'], body: [[{ text: ink.text(mark, { bold: true, size: 8.4, color: '#ffffff' }), fillColor: '#1b2225' }]] }, layout: stamp };
  return (at) => ({
    columns: [
      { width: '*', text: at === 1 ? ink.quiet('Stagecall', { bold: true, size: 8.4, color: '#1b2225' }) : who },
      marked,
    ],
    margin: [margin.left, mark === undefined ? 28 : 25, margin.right, 0],
  });
}

function footer({ source, ink, width }: Page): (at: number, of: number) => Block {
  const left = ink.quiet(`A teaching record; it clears nobody to exercise. Local policy first.   Stagecall ${source.version}, ${dayAndTime(source.wall)}`, { size: 6.9, color: soft });
  return (at, of) => ({
    stack: [rule(width), { columns: [{ width: '*', text: left }, { width: 'auto', text: ink.figure(`${at} of ${of}`, { size: 7.4, color: soft }), alignment: 'right' }], margin: [0, 4, 0, 0] }],
    margin: [margin.left, 12, margin.right, 0],
  });
}

const stamp: TableLayout = {
  hLineWidth: () => 0,
  hLineColor: () => '#1b2225',
  vLineWidth: () => 0,
  paddingLeft: () => 7,
  paddingRight: () => 7,
  paddingTop: () => 3,
  paddingBottom: () => 2,
};
