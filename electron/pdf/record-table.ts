/** The record as rows: rest and exercise with a band for each stage, recovery by minutes. As on the live sheet. */
import { formatClock } from '../../core/clock-text.ts';
import { recoveryAt } from '../../core/recovery/tracker.ts';
import { columnsOf, sheetRows, type Cell, type Column, type SheetRow } from '../../core/session/rows.ts';
import { unitOf } from '../../core/units/units.ts';
import { readingQuantities } from '../../core/vocabulary.ts';
import { hairlines, size, step, type Block, type Ink, type InlineText } from './ink.ts';
import type { Page } from './source.ts';

/** A column's name and unit, as on the live sheet. */
function headOf(column: Column): readonly [name: string, unit: string] {
  if (column === 'pressure') return ['Pressure', 'mmHg'];
  const { label, short, unit } = readingQuantities[column];
  return [label.length <= 12 ? label : short, unitOf(unit).label];
}

/** The moment at which nothing more can come: the record is printed as it ended. */
function endOf(page: Page): number {
  const { session, sessionEvents } = page.source;
  return session.starts.closed ?? Math.max(0, ...sessionEvents.map((event) => event.taken));
}

/** Rest and exercise as the sheet shows them, without columns that nobody used. */
export function exerciseTable(page: Page): Block[] {
  const { ink, width } = page;
  const rows = sheetRows(page.source.session, endOf(page)).filter((row) => row.phase !== 'recovery');
  if (rows.length === 0) return [ink.section('Record', width), { text: ink.quiet('No test was run.', { size: size.body }) }];
  return [ink.section('Rest and exercise', width), recordTable(page, rows, usedColumns(page, rows))];
}

/** Recovery, rows in which something was noted. */
export function recoveryTable(page: Page): Block[] {
  const { session } = page.source;
  if (session.starts.recovery === undefined) return [];
  const { ink } = page;
  const rows = sheetRows(session, endOf(page)).filter((row) => row.phase === 'recovery' && row.kind === 'row' && (row.notes.length > 0 || row.cells.some((cell) => cell.text !== '' || cell.status === 'not-taken')));
  if (rows.length === 0) return [{ text: ink.quiet('No readings were taken in recovery.', { size: size.body }) }];
  return [recordTable(page, rows, usedColumns(page, rows))];
}

/** A column that nobody wrote in (RER typed instead of VCO₂) is left out; one whose reading was given up with a reason is not. */
function usedColumns(page: Page, rows: readonly SheetRow[]): readonly Column[] {
  return columnsOf(page.source.session).filter((column) => rows.some((row) => row.cells.some((cell) => cell.column === column && (cell.text !== '' || cell.status === 'not-taken'))));
}

function recordTable(page: Page, rows: readonly SheetRow[], columns: readonly Column[]): Block {
  const { ink } = page;
  const head: Block[] = [
    { text: ink.quiet('Time', { bold: true }) },
    ...columns.map((column): Block => {
      const [name, unit] = headOf(column);
      return { text: [...ink.quiet(name, { bold: true }), ...(unit === '' ? [] : ink.quiet(` ${unit}`, { size: 6.8 }))], alignment: 'right', noWrap: true };
    }),
    { text: ink.quiet('Notes', { bold: true }) },
  ];
  const bands = new Set<number>();
  const body = rows.map((row, at): Block[] => {
    if (row.kind === 'band') {
      bands.add(at + 1);
      return [
        { text: [...ink.text(row.label, { bold: true, size: 8.2 }), ...ink.text(`   ${row.text ?? ''}`, { size: 8.2, color: '#566064' })], colSpan: columns.length + 2, margin: [4, 0, 0, 0] },
        ...Array.from({ length: columns.length + 1 }, (): Block => ({ text: '' })),
      ];
    }
    const notes = [...row.notes, ...row.cells.flatMap((cell) => (cell.differ === undefined ? [] : [`two readings: ${cell.differ}`]))];
    return [
      { text: ink.figure(row.label), noWrap: true },
      ...columns.map((column): Block => {
        const cell = row.cells.find((one) => one.column === column);
        return { text: cell === undefined ? [] : cellText(ink, cell, row.phase === 'rest'), alignment: 'right' };
      }),
      { text: ink.quiet([...new Set(notes)].join('; ')) },
    ];
  });
  return {
    table: { headerRows: 1, widths: ['auto', ...columns.map(() => 'auto' as const), '*'], body: [head, ...body], dontBreakRows: true, keepWithHeaderRows: 2 },
    layout: hairlines({ headerRows: 1, bands, gap: 14 }),
  };
}

function cellText(ink: Ink, cell: Cell, atRest: boolean): InlineText[] {
  if (cell.status === 'not-taken') return ink.text('not taken', { bold: true, size: 7.6 });
  if (cell.text === '') return cell.status === 'missed' ? ink.quiet('missed') : [];
  const before: InlineText[] = [];
  for (const earlier of cell.earlier) before.push(...ink.figure(earlier, { size: 7.4, color: '#566064', struck: true }), ...ink.quiet(' '));
  if (cell.late > 0) before.push(...ink.quiet(`${Math.round(cell.late / 1000)} s late `, { size: 6.6 }));
  if (cell.takenAt !== undefined && !atRest) before.push(...ink.quiet(`${cell.takenAt} `, { size: 6.6 }));
  return [...before, ...ink.figure(cell.text)];
}

/** The sheet's criteria for leaving, and how the session ended. */
export function leaving(page: Page): Block[] {
  const { session } = page.source;
  if (session.starts.recovery === undefined) return [];
  const { ink } = page;
  const recovery = recoveryAt(session, endOf(page));
  const lines = recovery.criteria.map((criterion): Block[] => [
    { text: ink.text(criterion.state === 'met' ? '✓' : criterion.state === 'unknown' ? '?' : '–', { bold: true }) },
    { text: ink.text(criterion.text, { size: 8.2 }) },
    { text: ink.quiet(criterion.because), alignment: 'right' },
  ]);
  return [
    { text: ink.quiet('Before leaving', { bold: true }), role: 'H3', margin: [0, step.small, 0, 2] },
    { table: { widths: [8, '*', 'auto'], body: lines, dontBreakRows: true }, layout: { ...hairlines({ headerRows: 0 }), paddingTop: () => 1.6, paddingBottom: () => 1.2 } },
    ...closing(page),
  ];
}

function closing({ source, ink }: Page): Block[] {
  const { closing: end, starts, symptoms, stop } = source.session;
  if (end === undefined) return [{ text: ink.text('The session was not closed when this was printed.', { bold: true, size: 8.2 }), margin: [0, 3, 0, 0] }];
  const after = starts.closed === undefined || starts.recovery === undefined ? '' : ` after ${formatClock(starts.closed - starts.recovery)} of recovery`;
  const how = end.outcome === 'left' ? `The participant left${after}.` : end.outcome === 'handed-over' ? `The participant was handed over${end.to === undefined ? '' : ` to ${end.to}`}${after}.` : 'The session was abandoned.';
  const early = end.early === undefined ? [] : [...ink.text(' ◆ Before every criterion was met: ', { bold: true, size: 8.2 }), ...ink.text(`${end.early.reason} (${end.early.initials})`, { size: 8.2 })];
  const noted = symptoms.filter((symptom) => !symptom.struck).map((symptom) => symptom.text);
  const symptomText = stop?.symptom === true || noted.length > 0 ? ink.text(` Symptoms noted: ${noted.length === 0 ? 'see the reason for stopping' : noted.join('; ')}.`, { size: 8.2 }) : [];
  return [{ text: [...ink.text(how, { size: 8.2 }), ...early, ...symptomText], margin: [0, 4, 0, 0] }];
}
