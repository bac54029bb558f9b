/**
 * Writes the one file that is handed in: a PDF that people read and keep, with the session and this student's worksheet
 * attached inside as data. What is printed is for people; marks are only ever worked out from the attachment.
 */
import { createRequire } from 'node:module';
import type { StoredEvent } from '../../core/record/event.ts';
import { exerciseChart, exercisePlot } from '../../core/figures/exercise.ts';
import { printLook } from '../../core/figures/figure.ts';
import { recoveryChart, recoveryPlot } from '../../core/figures/recovery.ts';
import { ATTACHMENT_NAME, buildWorksheetFile, worksheetFileText, type SessionSignature } from '../../core/worksheet/file.ts';
import type { Marking } from '../../core/worksheet/marking-types.ts';
import { drawFigure } from './draw-figure.ts';
import { faces, type FaceName } from './fonts.ts';
import { checks, conditions, overrides, titleBlock, wayMark } from './head.ts';
import { Ink, rule, size, soft, step, type Block, type TableLayout } from './ink.ts';
import { questionsPart } from './questions-part.ts';
import { exerciseTable, leaving, recoveryTable } from './record-table.ts';
import { resultsPart } from './results-part.ts';
import { dayAndTime, sourceOf, type Page } from './source.ts';

export interface WorksheetPdfInput {
  readonly session: { readonly events: readonly StoredEvent[]; readonly signature?: SessionSignature | undefined };
  readonly worksheet: { readonly events: readonly StoredEvent[] };
  readonly paper: 'A4' | 'Letter';
  /** Of this program, printed at the foot. */
  readonly version: string;
  /** Given where the page carries marks. */
  readonly marking?: Marking | undefined;
  /** Wall clock of the writing, ISO 8601: the same input gives the same bytes. */
  readonly wall: string;
}

/** Points. Margins leave room for a hole punch at the left. */
const pages = { A4: { width: 595.28, height: 841.89 }, Letter: { width: 612, height: 792 } } as const;
const margin = { left: 54, right: 46, top: 54, bottom: 56 } as const;

/** @throws {Error} when a record's chain is broken, or the worksheet is not this session's. */
export async function writeWorksheet(input: WorksheetPdfInput): Promise<Uint8Array> {
  const file = buildWorksheetFile({ session: input.session, worksheet: input.worksheet, version: input.version });
  const source = sourceOf({ session: input.session.events, worksheet: input.worksheet.events, marking: input.marking, version: input.version, wall: input.wall, signed: input.session.signature !== undefined });
  const ink = new Ink();
  const page: Page = { source, ink, width: pages[input.paper].width - margin.left - margin.right };
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
  const definition = {
    pageSize: input.paper === 'A4' ? 'A4' : 'LETTER',
    pageMargins: [margin.left, margin.top, margin.right, margin.bottom],
    version: '1.7',
    language: 'en-GB',
    displayTitle: true,
    info: {
      title: `${source.session.sheet.title}: worksheet ${source.worksheet.student}`,
      author: source.worksheet.student,
      subject: mark ?? 'Graded exercise test, teaching record',
      creator: `Stagecall ${input.version}`,
      producer: 'pdfmake',
      creationDate: new Date(input.wall),
      modDate: new Date(input.wall),
    },
    content,
    header: (at: number) => running(at),
    footer: (at: number, of: number) => foot(at, of),
    // A heading never stands alone at the foot of a page, nor a long question with its first lines.
    pageBreakBefore: (node: { headlineLevel?: number; startPosition: { verticalRatio: number } }, queries: { getFollowingNodesOnPage(): unknown[] }) => breaksBefore(node.headlineLevel, node.startPosition.verticalRatio, queries.getFollowingNodesOnPage().length),
    defaultStyle: { font: 'Words', fontSize: size.body, color: '#1b2225', lineHeight: 1.08 },
    files: {
      [ATTACHMENT_NAME]: {
        src: `data:application/json;base64,${Buffer.from(worksheetFileText(file), 'utf8').toString('base64')}`,
        name: ATTACHMENT_NAME,
        type: 'application/json',
        description: 'The record of the session and this student’s worksheet (stagecall-worksheet/1)',
        relationship: 'Data',
        creationDate: new Date(input.wall),
        modifiedDate: new Date(input.wall),
      },
    },
  };
  return new Uint8Array(await printer().createPdf(definition).getBuffer());
}

/** `ratio` is how far down the page a block begins. */
function breaksBefore(level: number | undefined, ratio: number, following: number): boolean {
  if (level === 1) return following === 0 || ratio > 0.88;
  // The first question moves to the next page from 0.72 on, and takes its heading with it.
  if (level === 3) return ratio > 0.68;
  return level === 2 && ratio > 0.72;
}

function exerciseFigure({ source, ink, width }: Page): Block[] {
  const plot = exercisePlot(source.session, source.results.stages);
  if (plot.heartRate.length + plot.uptake.length === 0) return [];
  const height = 170;
  return [
    {
      stack: [
        { svg: drawFigure(exerciseChart(plot, printLook, undefined), width, height), width },
        { text: ink.quiet('●  heart rate     □  oxygen uptake, mean of the stage’s last part     ▬  predicted for the stage’s real setting     shaded: every other stage'), margin: [0, 3, 0, 0] },
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
            { svg: drawFigure(recoveryChart(plot, printLook), figureWidth, 138), width: figureWidth },
            { text: ink.quiet('●  heart rate     □  systolic pressure     dashed: at rest'), margin: [0, 2, 0, 0] },
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
  return [
    ink.section('Cautions', width),
    { text: ink.text('This is a teaching record. It diagnoses nothing and clears nobody to exercise. The institution’s own procedures, local rules and licensed practice come first.', { size: size.body, bold: true }), lineHeight: 1.15, margin: [0, 2, 0, 3] },
    ...sheet.cautions.map((text): Block => ({ text: ink.quiet(text, { size: 7.8 }), margin: [0, 1.6, 0, 0], lineHeight: 1.1 })),
    rule(width),
    ...about.map((text): Block => ({ text: ink.quiet(text, { size: 7 }), margin: [0, 3, 0, 0], lineHeight: 1.1 })),
  ];
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

interface Printer {
  addFonts(fonts: Record<string, Record<'normal' | 'bold' | 'italics' | 'bolditalics', string>>): void;
  setUrlAccessPolicy(policy: (url: string) => boolean): void;
  setLocalAccessPolicy(policy: (path: string) => boolean): void;
  readonly virtualfs: { writeFileSync(name: string, bytes: Buffer): void };
  createPdf(definition: unknown): { getBuffer(): Promise<Buffer> };
}

let prepared: Printer | undefined;

/** The PDF writer with its doors closed: it fetches nothing and reads no file; the faces are handed to it. */
function printer(): Printer {
  if (prepared !== undefined) return prepared;
  const pdfmake = createRequire(import.meta.url)('pdfmake') as Printer;
  pdfmake.setUrlAccessPolicy(() => false);
  pdfmake.setLocalAccessPolicy(() => false);
  const fonts: Record<string, Record<'normal' | 'bold' | 'italics' | 'bolditalics', string>> = {};
  for (const [name, face] of faces() as ReadonlyMap<FaceName, { normal: Buffer; bold: Buffer }>) {
    const [normal, bold] = [`${name}-normal.ttf`, `${name}-bold.ttf`];
    pdfmake.virtualfs.writeFileSync(normal, face.normal);
    pdfmake.virtualfs.writeFileSync(bold, face.bold);
    fonts[name] = { normal, bold, italics: normal, bolditalics: bold };
  }
  pdfmake.addFonts(fonts);
  prepared = pdfmake;
  return pdfmake;
}
