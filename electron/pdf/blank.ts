/** A lab sheet on paper, to be filled in by hand: the same lab without the machine. Nothing is attached; there is no record yet. */
import { blankPlan, type BlankCell, type BlankRow } from '../../core/session/blank-plan.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import { hundredths } from '../../core/units/format.ts';
import { detailQuantities, isDetailId, numericDetails, readingQuantities } from '../../core/vocabulary.ts';
import type { Column } from '../../core/session/rows.ts';
import { unitOf } from '../../core/units/units.ts';
import { grid, type BlankPage } from './blank-parts.ts';
import { blankQuestions } from './blank-questions.ts';
import { withUnit } from './head.ts';
import { hairline, Ink, ink as dark, rule, size, soft, step, type Block, type TableLayout } from './ink.ts';
import { margin, print, textWidth, type Paper } from './printer.ts';

export interface BlankInput {
  readonly sheet: LabSheet;
  readonly paper: Paper;
  readonly version: string;
  /** Wall clock of the writing, ISO 8601: the same input gives the same bytes. */
  readonly wall: string;
}

/** Writes the blank sheet. Its text is the lab sheet's own; characters without a glyph are replaced visibly, and said. */
export async function writeBlank(input: BlankInput): Promise<Uint8Array> {
  const { sheet } = input;
  const page: BlankPage = { sheet, ink: new Ink(), width: textWidth(input.paper) };
  const { ink, width } = page;
  const content = [...head(page), ...before(page), ...rest(page), ...exercise(page), ...recovery(page), ...blankQuestions(page)];
  if (ink.replaced > 0) content.push({ text: ink.quiet(`${ink.replaced} characters of the lab sheet could not be printed and stand as \ufffd here.`), margin: [0, step.block, 0, 0] });
  const name = ink.quiet(`${sheet.title}   ·   blank sheet`, { size: 7.4 });
  const first = ink.quiet('Stagecall', { bold: true, size: 8.4, color: dark });
  const left = ink.quiet(`A teaching record; it clears nobody to exercise. Local policy first.   ${sheet.id} version ${sheet.version}   Stagecall ${input.version}`, { size: 6.9, color: soft });
  return print({
    paper: input.paper,
    title: `${sheet.title}: blank sheet`,
    subject: 'Blank sheet of a graded exercise test, to be filled in by hand',
    version: input.version,
    wall: input.wall,
    content,
    header: (at) => ({ columns: [{ width: '*', text: at === 1 ? first : name }, { width: 'auto', text: ink.quiet('Participant code  ………………………', { size: 7.4 }) }], margin: [margin.left, 28, margin.right, 0] }),
    footer: (at, of) => ({
      stack: [rule(width), { columns: [{ width: '*', text: left }, { width: 'auto', text: ink.figure(`${at} of ${of}`, { size: 7.4, color: soft }), alignment: 'right' }], margin: [0, 4, 0, 0] }],
      margin: [margin.left, 12, margin.right, 0],
    }),
  });
}

/** A label with a line to write on; several stand side by side. */
function fields(page: BlankPage, all: readonly (readonly [label: string, unit: string])[], perLine = 4): Block {
  const { ink } = page;
  const rows: Block[][] = [];
  for (let at = 0; at < all.length; at += perLine) {
    const some = all.slice(at, at + perLine);
    rows.push(
      Array.from({ length: perLine }, (_, index): Block => {
        const field = some[index];
        if (!field) return { text: '' };
        const [label, unit] = field;
        return { role: 'P', stack: [{ text: [...ink.quiet(label), ...(unit === '' ? [] : ink.quiet(`, ${unit}`, { size: 6.9 }))], margin: [0, 0, 0, 15] }] };
      }),
    );
  }
  return { role: 'none', table: { widths: Array.from({ length: perLine }, () => '*'), body: rows }, layout: { ...grid, paddingTop: () => 2, paddingBottom: () => 1 }, margin: [0, step.small, 0, 0] };
}

function head(page: BlankPage): Block[] {
  const { sheet, ink, width } = page;
  const wanted = [...new Set([...sheet.details.required, ...sheet.details.asked])].filter(isDetailId);
  const first = ['Date', 'Time of the start', 'Student key'] as const;
  const all = [
    ...first.map((label): [string, string] => [label, '']),
    ...wanted.map((id): [string, string] => {
      const { label, short, unit } = detailQuantities[id];
      const named = label.length > 24 ? short : label;
      return [id === 'sex' ? 'Sex used in the equations: f / m' : named, numericDetails.includes(id) ? unitOf(unit).label : ''];
    }),
  ];
  return [
    { text: ink.text(sheet.title, { bold: true, size: size.title }), role: 'H1', margin: [0, 3, 0, 2], lineHeight: 1.05 },
    { text: ink.quiet('Blank sheet, to be filled in by hand. A code and never a name stands for the participant.', { size: 8.4 }) },
    rule(width, dark, 0.8),
    fields(page, all),
    { text: ink.text('Objectives', { bold: true, size: 9 }), role: 'H3', margin: [0, step.block, 0, 2] },
    ...sheet.objectives.map((text): Block => ({ text: ink.text(text, { size: 8.2 }), margin: [0, 1, 0, 0], lineHeight: 1.1 })),
  ];
}

/** Cautions, who may take part, and everything that is done before the start. */
function before(page: BlankPage): Block[] {
  const { sheet, ink, width } = page;
  const checks = sheet.checks.map((check): Block[] => [
    { text: ink.text('□', { size: 11 }) },
    { text: [...ink.text(check.text, { size: 8.2 }), ...(check.hold === 'never' ? ink.text('  may not be set aside', { size: 7, bold: true }) : [])] },
    check.value === undefined ? { text: '' } : { text: ink.quiet(`………… ${unitOf(check.value.unit as Parameters<typeof unitOf>[0]).label}   (${hundredths(check.value.min)} to ${withUnit(hundredths(check.value.max), check.value.unit, '1')})`, { size: 7.8 }), alignment: 'right', noWrap: true },
  ]);
  return [
    {
      stack: [
        ink.section('Cautions', width),
        ...sheet.cautions.map((text): Block => ({ text: ink.text(text, { size: 8.2 }), margin: [0, 1.6, 0, 0], lineHeight: 1.12 })),
      ],
    },
    ink.section('Before the test', width),
    ...sheet['who-may-take-part'].map((text): Block => ({ text: ink.quiet(text, { size: 7.8 }), margin: [0, 1.6, 0, 0], lineHeight: 1.1 })),
    {
      text: [
        ...ink.text('Screening ', { bold: true, size: 8.4 }),
        ...ink.text('is worked through in private with the lab sheet’s list; only the outcome is written here.   □\u00a0may take part   □\u00a0another test   □\u00a0no test today      by …………      Consent noted\u00a0□', { size: 8.4 }),
      ],
      margin: [0, step.block, 0, 4],
      lineHeight: 1.3,
    },
    ...(checks.length === 0 ? [] : [{ table: { widths: [10, '*', 'auto'], body: checks, dontBreakRows: true }, layout: { ...grid, vLineWidth: () => 0, hLineColor: () => hairline, paddingTop: () => 2.4, paddingBottom: () => 2 } } satisfies Block]),
    fields(page, [['Set aside by an instructor: what', ''], ['Reason', ''], ['Initials', '']], 3),
  ];
}

/** Name and unit of a column, as on the printed record. */
function headOf(column: Column): readonly [name: string, unit: string] {
  if (column === 'pressure') return ['Pressure', 'mmHg'];
  const { label, short, unit } = readingQuantities[column];
  return [label.length <= 12 ? label : short, unitOf(unit).label];
}

function headRow(ink: Ink, first: string, columns: readonly Column[]): Block[] {
  return [
    { text: ink.quiet(first, { bold: true }) },
    ...columns.map((column): Block => {
      const [name, unit] = headOf(column);
      return { text: [...ink.quiet(name, { bold: true }), ...(unit === '' ? [] : ink.quiet(` ${unit}`, { size: 6.8 }))] };
    }),
    { text: ink.quiet('Notes', { bold: true }) },
  ];
}

/** A cell in which nothing is due is shaded; one that may stay empty says so. */
function cellOf(ink: Ink, cell: BlankCell): Block {
  if (!cell) return { text: '', fillColor: '#e4e2db' };
  const small = [cell.due, cell.asked === 'optional' ? 'if wanted' : undefined].filter((part) => part !== undefined).join(' ');
  return { text: small === '' ? [] : ink.quiet(small, { size: 6.4 }) };
}

const body = (ink: Ink, one: BlankRow): Block[] => [{ text: ink.figure(one.label, { size: 8.6 }), noWrap: true }, ...one.cells.map((cell) => cellOf(ink, cell)), { text: '' }];

function widthsOf(page: BlankPage, columns: number): (number | '*')[] {
  const label = 44;
  const notes = Math.max(70, page.width * 0.2);
  const inner = page.width - label - notes - (columns + 2) * 8.5;
  return [label, ...Array.from({ length: columns }, () => Math.min(92, inner / Math.max(1, columns))), '*'];
}

function rest(page: BlankPage): Block[] {
  const { sheet, ink, width } = page;
  const plan = blankPlan(sheet).rest;
  if (plan.columns.length === 0) return [];
  return [
    {
      stack: [
        ink.section('Rest', width),
        ...(sheet.rest.posture === undefined ? [] : [{ text: ink.quiet(`Posture: ${sheet.rest.posture}. Two readings of a pulse or a pressure side by side: write both.`), margin: [0, 0, 0, 3] } satisfies Block]),
        { table: { headerRows: 1, widths: widthsOf(page, plan.columns.length), body: [headRow(ink, '', plan.columns), body(ink, plan.row)], dontBreakRows: true }, layout: tall },
      ],
      unbreakable: true,
    },
  ];
}

const tall: TableLayout = { ...grid, paddingTop: () => 4.2, paddingBottom: () => 4.2 };

function exercise(page: BlankPage): Block[] {
  const { sheet, ink, width } = page;
  const { columns, stages, stop } = blankPlan(sheet).exercise;
  const single = stages.every((stage) => stage.rows.length <= 1);
  const rows: Block[][] = [];
  for (const stage of stages) {
    const settings = stage.settings.filter((text) => text !== '').join('   ');
    if (single) {
      rows.push([
        { text: [...ink.figure(stage.rows[0]?.label ?? stage.from, { size: 8.6 }), ...ink.quiet(` ${settings}`, { size: 7 })], lineHeight: 1 },
        ...(stage.rows[0]?.cells ?? columns.map(() => undefined)).map((cell) => cellOf(ink, cell)),
        { text: '' },
      ]);
      continue;
    }
    rows.push([
      { text: [...ink.text(`Stage ${stage.number}`, { bold: true, size: 8.2 }), ...ink.text(`   ${settings}`, { size: 8 }), ...ink.quiet(`   ${sheet.stages.timing === 'from-change' && stage.number > 1 ? 'from' : 'at'} ${stage.from}   really changed at ………   really set ………………`)], colSpan: columns.length + 2 },
      ...Array.from({ length: columns.length + 1 }, (): Block => ({ text: '' })),
    ]);
    rows.push(...stage.rows.map((one) => body(ink, one)));
  }
  if (stop) rows.push([{ text: ink.text(stop.label, { size: 8.2, bold: true }) }, ...stop.cells.map((cell) => cellOf(ink, cell)), { text: '' }]);
  const widths = widthsOf(page, columns.length);
  if (single) widths[0] = 84;
  const held = sheet.stages['steady-state'];
  const remarks = [
    sheet.stages.timing === 'on-plan' ? 'Times are minutes of exercise; stages change at the times of the plan.' : 'Times are by plan; each stage counts from its real change, so write the real time where it differs.',
    ...(held === undefined ? [] : [`A stage is held another minute, ${held['repeats-at-most']} at the most, where its last two heart rates differ by more than ${held.within} /min.`]),
    ...(sheet.stages.branch === undefined ? [] : [`After stage ${sheet.stages.branch.after} its heart rate (mean of the last two minutes, rounded) chooses the row of settings; mark it.`]),
    ...(sheet['heart-rate-cap'] === undefined ? [] : [`${sheet['heart-rate-cap'].text.replace(/[.]$/, '')}.`]),
    'Shaded: nothing is due. A small time says when in the row it is due. A missed reading: write why. A wrong one: strike it once, so that it can still be read.',
  ];
  return [
    {
      stack: [
        ink.section('Stop', width),
        { text: ink.text(sheet.stop.list.map((text) => `•  ${text}`).join('\n'), { size: 8.4 }), lineHeight: 1.16 },
        { text: ink.quiet(`${sheet.stop.source} Anyone may stop the test; no reason is needed first.`, { size: 7 }), margin: [0, 3, 0, 0] },
      ],
      unbreakable: true,
    },
    ink.section('Exercise', width),
    { text: ink.quiet(remarks.join(' '), { size: 7.8 }), margin: [0, 0, 0, 4], lineHeight: 1.12 },
    { table: { headerRows: 1, widths, body: [headRow(ink, single ? 'At, setting' : 'At', columns), ...rows], dontBreakRows: true, keepWithHeaderRows: 2 }, layout: single ? { ...grid, paddingTop: () => 2.6, paddingBottom: () => 2.6 } : { ...grid, paddingTop: () => 3.4, paddingBottom: () => 3.4 } },
    fields(page, [['Stopped at', 'm:ss'], ['Reason', ''], ['For a symptom: yes / no', ''], ['Stopped by', '']]),
  ];
}

function recovery(page: BlankPage): Block[] {
  const { sheet, ink, width } = page;
  const { columns, rows } = blankPlan(sheet).recovery;
  const plan = sheet.recovery.plan.map((one) => `${one.text} (until ${one.until})`).join('; ');
  const more = Array.from({ length: 3 }, (): Block[] => [{ text: '' }, ...columns.map((): Block => ({ text: [] })), { text: '' }]);
  const criteria = sheet.recovery.criteria.map((one): Block[] => [{ text: ink.text('□', { size: 11 }) }, { text: ink.text(one.text, { size: 8.2 }) }, { text: ink.quiet('at …………   seen by …………'), alignment: 'right', noWrap: true }]);
  return [
    ink.section('Recovery', width),
    { text: ink.quiet(`${plan}. After a stop for a symptom: no active cool-down, lying offered first, readings every minute, and the instructor closes it.`, { size: 7.8 }), margin: [0, 0, 0, 4], lineHeight: 1.12 },
    { table: { headerRows: 1, widths: widthsOf(page, columns.length), body: [headRow(ink, 'Minute', columns), ...rows.map((one) => body(ink, one)), ...more.map((line) => line.map((cell): Block => (cell.text === '' ? { text: ink.figure(' ', { size: 8.6 }) } : cell)))], dontBreakRows: true, keepWithHeaderRows: 2 }, layout: { ...grid, paddingTop: () => 3.4, paddingBottom: () => 3.4 } },
    {
      stack: [
        { text: ink.text('Before leaving', { bold: true, size: 9 }), role: 'H3', margin: [0, step.block, 0, 2] },
        { table: { widths: [10, '*', 'auto'], body: criteria, dontBreakRows: true }, layout: { ...grid, vLineWidth: () => 0, hLineColor: () => hairline, paddingTop: () => 2.4, paddingBottom: () => 2 } },
        fields(page, [['Left at', 'm:ss of recovery'], ['Or handed over to', ''], ['Left early: reason', ''], ['Instructor’s initials', '']]),
      ],
      unbreakable: true,
    },
  ];
}
