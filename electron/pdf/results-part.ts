/** Results: measured against predicted, equations side by side with their published error, effort, recovery, norms, prescription. */
import { formatClock } from '../../core/clock-text.ts';
import type { EquationResult } from '../../core/results/equations.ts';
import type { StageResult } from '../../core/results/stages.ts';
import { settingsText } from '../../core/session/rows.ts';
import { provenanceInWords } from '../../core/formulas/formula.ts';
import { formatNumber, formatQuantity } from '../../core/units/units.ts';
import { hairlines, size, soft, step, type Block, type InlineText } from './ink.ts';
import { gasPart } from './results-gas.ts';
import { bagPart, exerciseStatements, linePart, slopeStatements } from './results-more.ts';
import type { Page } from './source.ts';

/** The results: peak, stages, line, bags, gas exchange file, equations with their sources, facts and warnings. Nothing before Exercise. */
export function resultsPart(page: Page): Block[] {
  const { ink, width, source } = page;
  if (source.session.starts.exercise === undefined) return [];
  return [ink.section('Results', width), peakLine(page), ...stagesTable(page), ...linePart(page), ...bagPart(page), ...gasPart(page), ...equations(page), ...facts(page), ...warnings(page)];
}

/** The peak in one line of large figures. */
function peakLine({ source, ink }: Page): Block {
  const { results } = source;
  const { peak } = results;
  const value = (label: string, text: string | undefined, unit: string): Block[] =>
    text === undefined
      ? []
      : [
          {
            width: 'auto',
            stack: [{ text: ink.quiet(label) }, { text: [...ink.figure(text, { bold: true, size: 14 }), ...ink.quiet(unit === '' ? '' : ` ${unit}`)] }],
          },
        ];
  const blocks = [
    ...value(results.peakName, fixed(peak.vo2?.value, 2), 'L/min'),
    ...value('per kilogram', fixed(peak.vo2Relative, 1), 'mL/kg/min'),
    ...value('METs', fixed(peak.mets, 1), ''),
    ...value('Peak heart rate', fixed(peak.heartRate?.value, 0), '/min'),
    ...value('Peak RER', fixed(peak.rer?.value, 2), ''),
    ...value('Peak RPE', fixed(peak.rpe?.value, 0), ''),
    ...value('Predicted VO₂max', results.maximal.from === 'predicted' ? fixed(results.maximal.value, 1) : undefined, 'mL/kg/min'),
    ...value('Exercise time', results.exerciseMinutes === undefined ? undefined : formatClock(results.exerciseMinutes * 60_000), ''),
  ];
  if (blocks.length === 0) return { text: ink.quiet('No peak values were recorded.', { size: size.body }) };
  return { columns: blocks, columnGap: 20, margin: [0, 2, 0, step.small] };
}

const fixed = (value: number | undefined, decimals: number): string | undefined => (value === undefined ? undefined : formatNumber(value, decimals));

function stagesTable(page: Page): Block[] {
  const { ink, source } = page;
  const rows = source.results.stages.filter((row) => row.predicted !== undefined || row.vo2 !== undefined);
  if (rows.length === 0) return [];
  // A sheet that measures no oxygen uptake has nothing to compare.
  const measured = rows.some((row) => row.vo2 !== undefined);
  const treadmill = rows.some((row) => row.speed !== undefined);
  const heads = ['Stage', treadmill ? 'Equation' : 'As set', 'Predicted mL/kg/min', 'Predicted L/min', ...(measured ? ['Measured L/min', 'Difference'] : ['Heart rate /min'])];
  const head = heads.map((text, at): Block => ({ text: ink.quiet(text, { bold: true }), ...(at >= 2 ? { alignment: 'right' } : {}), noWrap: true }));
  const body = rows.map((row): Block[] => {
    const { predicted, other } = row;
    const gait = predicted?.gait === 'run' ? 'running' : predicted?.gait === 'walk' ? 'walking' : '';
    const also = other === undefined ? '' : ` (${other.gait === 'run' ? 'running' : 'walking'} ${formatNumber(other.relative, 1)})`;
    const difference: InlineText[] =
      row.compared && row.percent !== undefined ? ink.figure(`${row.percent >= 0 ? '+' : ''}${formatNumber(row.percent, 0)} %`) : ink.quiet(row.why ?? 'not compared');
    return [
      { text: ink.figure(String(row.stage.number)) },
      { text: ink.quiet(treadmill ? `${gait}${also}` : settingsText(row.stage.actual)) },
      { text: predicted === undefined ? [] : ink.figure(formatNumber(predicted.relative, 1)), alignment: 'right' },
      { text: predicted?.absolute === undefined ? [] : ink.figure(formatNumber(predicted.absolute, 2)), alignment: 'right' },
      ...(measured
        ? ([
            { text: row.vo2 === undefined ? [] : ink.figure(formatNumber(row.vo2, 2)), alignment: 'right' },
            { text: difference, alignment: 'right' },
          ] satisfies Block[])
        : ([{ text: heartRateOf(ink, row), alignment: 'right' }] satisfies Block[])),
    ];
  });
  const sources = [...new Set(rows.flatMap((row) => (row.predicted === undefined ? [] : [row.predicted.source])))];
  return [
    { table: { headerRows: 1, widths: heads.map((_, at) => (at === 1 ? ('*' as const) : ('auto' as const))), body: [head, ...body], dontBreakRows: true, keepWithHeaderRows: 2 }, layout: hairlines({ headerRows: 1, gap: 14 }), margin: [0, step.small, 0, 0] },
    { text: ink.quiet(`Predicted by the ACSM equations for the settings that were really used: ${sources.join('; ')}. Between people the error may reach about 7 %.`), margin: [0, 3, 0, 0] },
  ];
}

/** The mean of the last two minutes where the sheet asks for a steady heart rate, and whether it was. */
function heartRateOf(ink: Page['ink'], row: StageResult): InlineText[] {
  const { steady, repeats } = row.stage;
  if (row.steadyHeartRate === undefined) return row.heartRate === undefined ? [] : ink.figure(formatNumber(row.heartRate, 0));
  const held = repeats === 0 ? '' : `, held ${repeats} min longer`;
  return [...ink.figure(formatNumber(row.steadyHeartRate, 1)), ...ink.quiet(` ${steady?.state === 'steady' ? 'steady' : 'not steady'}${held}`)];
}

/** Published predictions beside the measured value, each with its error and source. */
function equations(page: Page): Block[] {
  const { ink, source } = page;
  const { results } = source;
  const lines = (list: readonly EquationResult[], decimals: number): Block[][] =>
    list.map((one): Block[] =>
      one.known
        ? [
            { stack: [{ text: ink.text(one.title, { size: 8.4 }) }, { text: ink.quiet([one.error, one.source].filter((part) => part !== undefined).join(' · '), { size: 6.9 }) }] },
            { text: ink.figure(formatQuantity(one.value, one.unit, decimals)), alignment: 'right', noWrap: true },
            { text: one.percent === undefined ? [] : ink.figure(`${formatNumber(one.percent, 1)} %`), alignment: 'right', noWrap: true },
          ]
        : [{ text: ink.text(one.title, { size: 8.4, color: soft }) }, { text: ink.quiet(one.reason), alignment: 'right', colSpan: 2 }, { text: '' }],
    );
  // What the sheet itself asks for comes first; a value in L/min needs its second decimal.
  const own = results.predictions.flatMap((one) => lines([one], one.known && one.unit === 'L/min' ? 2 : one.known && one.unit === 'mL/min' ? 0 : 1));
  const body = [...own, ...lines(results.hrMax, 0), ...lines(results.uptake, 1)];
  if (body.length === 0) return [];
  const head: Block[] = [{ text: ink.quiet('Predicted by', { bold: true }) }, { text: ink.quiet('Value', { bold: true }), alignment: 'right' }, { text: ink.quiet('Measured is', { bold: true }), alignment: 'right', noWrap: true }];
  return [{ table: { headerRows: 1, widths: ['*', 'auto', 'auto'], body: [head, ...body], dontBreakRows: true, keepWithHeaderRows: 2 }, layout: hairlines({ headerRows: 1, gap: 14 }), margin: [0, step.block, 0, 0] }];
}

/** Effort, recovery, category and prescription as statements with their ground. */
function facts(page: Page): Block[] {
  const { ink, source } = page;
  const { results } = source;
  const rows: Block[][] = [];
  const row = (label: string, value: InlineText[], note: string): void => {
    rows.push([{ text: ink.quiet(label, { bold: true, size: 8 }) }, { stack: [{ text: value }, ...(note === '' ? [] : [{ text: ink.quiet(note, { size: 6.9 }) }])] }]);
  };
  const say = (text: string): InlineText[] => ink.text(text, { size: 8.6 });
  if (results.effort !== undefined) {
    const { effort } = results;
    const said = effort.criteria.map((one) => `${one.label}${one.value === undefined ? '' : ` ${one.value}`}: ${one.outcome === 'could not be judged' ? `could not be judged, ${one.reason ?? ''}` : `${one.outcome} (${one.cut})`}`);
    row('Effort', say(`${said.join('; ')}. ${effort.conclusion.sentence}`), `${effort.set.source.citation}; ${provenanceInWords(effort.set.source.provenance)}`);
  }
  for (const one of results.recovery) {
    const posture = one.posture === undefined ? '' : `, ${one.posture}${one.postureAssumed ? ' by the sheet’s plan' : ''}`;
    row(`Recovery, ${one.minute} min`, one.value === undefined ? say(one.reason ?? 'not known') : say(`Heart rate fell by ${formatNumber(one.value, 0)}\u00a0/min${posture}`), '');
  }
  for (const norm of results.norms) {
    const { result } = norm;
    const percentile = result.ok ? (typeof result.percentile === 'number' ? `percentile ${Math.round(result.percentile)}` : `percentile ${result.percentile.replace('P', '')}`) : '';
    row('Category', say(result.ok ? `${result.category ?? 'not told by this table'}, ${percentile}, ${result.ageBand}, ${result.table.title}` : result.error.message), result.ok ? [result.source.citation, ...result.warnings].join(' · ') : '');
  }
  for (const [label, says, note] of slopeStatements(page)) row(label, say(says), note);
  const { prescription } = results;
  if (prescription !== undefined) {
  const ground = prescription.working === undefined ? '' : `${prescription.working}; with the ${prescription.maximalFrom ?? 'known'} maximum. ${source.session.sheet.results.prescription?.text ?? ''}`;
  row('Prescription', prescription.heartRate === undefined ? say(prescription.reason ?? 'not known') : say(`${formatNumber(prescription.heartRate, 0)}\u00a0/min at ${Math.round(prescription.fraction * 100)} % of heart-rate reserve`), ground);
  for (const [label, says, note] of exerciseStatements(prescription.exercise)) row(label, say(says), note);
  }
  return [{ table: { widths: [74, '*'], body: rows, dontBreakRows: true }, layout: hairlines({ headerRows: 0 }), margin: [0, step.block, 0, 0] }];
}

function warnings({ source, ink }: Page): Block[] {
  const texts = [...new Set(source.results.warnings)];
  if (texts.length === 0) return [];
  return [{ stack: texts.map((text): Block => ({ text: [...ink.text('◆ ', { size: 7.6 }), ...ink.text(text, { size: 7.8 })], margin: [0, 1.5, 0, 0] })), margin: [0, step.small, 0, 0] }];
}
