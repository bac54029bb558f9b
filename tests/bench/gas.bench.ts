/**
 * Budgets for gas exchange files: a file of one hour, 3,600 rows of 12 columns, imported within 5 times bare Papa Parse of the same
 * text in the same run, and all analyses on it under 100 ms. Then how often V-slope is right, 1,000 tests at each noise.
 */
import Papa from 'papaparse';
import {
  analyseThresholds,
  applyMapping,
  average,
  guessMapping,
  peakSensitivity,
  plateausOf,
  readGasTable,
  usualAveragings,
  type BreathSeries,
} from '../../core/gas/gas.ts';
import { uniform } from '../../core/rehearsal/chance.ts';
import { constants } from '../../core/rehearsal/constants.ts';
import { rateOfVSlope } from '../reference/gas-vslope-rate.ts';

const ROWS = 3600;

/** One hour breath by breath: rest, a ramp of 50 minutes with two bends, all twelve columns filled. */
function hourFile(delimiter: ',' | ';'): string {
  const decimal = delimiter === ';' ? ',' : '.';
  const lines = [
    ['Time', 'VO2', 'VCO2', 'VE', 'RER', 'HR', 'Rf', 'VT', 'PETO2', 'PETCO2', 'Power', 'Marker'],
    ['mm:ss', 'mL/min', 'mL/min', 'L/min', '', '1/min', '1/min', 'L', 'mmHg', 'mmHg', 'W', ''],
  ].map((cells) => cells.join(delimiter));
  for (let row = 0; row < ROWS; row += 1) {
    const second = row + uniform(1, 'time', row) * 0.9;
    const rise = Math.max(0, (second - 300) / 3300);
    const noise = (what: string): number => uniform(1, what, row) - 0.5;
    const vo2 = 0.35 + 3.2 * rise + 0.2 * noise('vo2');
    const vco2 = 0.3 + 0.95 * 3.2 * Math.min(rise, 0.55) + 1.35 * 3.2 * Math.max(0, rise - 0.55) + 0.2 * noise('vco2');
    const ve = 6 + 25 * vco2 + 12 * Math.max(0, vco2 - 2.9) + 4 * noise('ve');
    const rate = 14 + 28 * rise;
    const cells = [
      `${String(Math.floor(second / 60)).padStart(2, '0')}:${(second % 60).toFixed(1).padStart(4, '0')}`,
      (1000 * vo2).toFixed(0),
      (1000 * vco2).toFixed(0),
      ve.toFixed(1),
      (vco2 / vo2).toFixed(2),
      (70 + 115 * rise).toFixed(0),
      rate.toFixed(1),
      (ve / rate).toFixed(2),
      (100 + 12 * rise).toFixed(1),
      (40 - 3 * rise).toFixed(1),
      (250 * Math.max(0, rise)).toFixed(0),
      row === 300 ? 'start' : '',
    ];
    lines.push(cells.map((cell) => cell.replace('.', decimal)).join(delimiter));
  }
  return `${lines.join('\r\n')}\r\n`;
}

function imported(text: string): BreathSeries {
  const table = readGasTable(text);
  if (!table.ok) throw new Error(table.error.message);
  const series = applyMapping(table.value, guessMapping(table.value).mapping);
  if (!series.ok) throw new Error(series.error.message);
  if (series.value.length !== ROWS) throw new Error(`${series.value.length} rows of ${ROWS} were imported`);
  return series.value;
}

function analysed(series: BreathSeries): number {
  const thresholds = analyseThresholds(series);
  if (thresholds?.first.vSlope.outcome !== 'found') throw new Error(thresholds?.first.vSlope.reason ?? 'no incremental part');
  const { ramp } = thresholds;
  return (
    peakSensitivity(series, ramp).table.length +
    plateausOf(series, ramp, { massKg: 72 }).length +
    usualAveragings.reduce((rows, averaging) => rows + average(series, averaging).length, 0)
  );
}

const middle = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;

function timed(work: () => unknown): number {
  const from = performance.now();
  work();
  return performance.now() - from;
}

/**
 * Two jobs in turn, so that both meet the same machine; the first turns, in which code is still being compiled, are left out.
 * Besides the middle turn the quickest one, which other programs disturbed least.
 */
function inTurn(first: () => unknown, second: () => unknown) {
  const turns = Array.from({ length: 80 }, () => ({ first: timed(first), second: timed(second) })).slice(20);
  const [one, two] = [turns.map((turn) => turn.first), turns.map((turn) => turn.second)] as const;
  return { first: middle(one), second: middle(two), ratio: middle(two) / middle(one), quickest: Math.min(...two) / Math.min(...one) };
}

export function run(): void {
  for (const delimiter of [',', ';'] as const) {
    const text = hourFile(delimiter);
    const cold = { papa: timed(() => Papa.parse(text)), whole: timed(() => imported(text)) };
    const {
      first: papa,
      second: whole,
      ratio,
      quickest,
    } = inTurn(
      () => Papa.parse(text),
      () => imported(text),
    );
    console.log(
      `import, one hour, columns parted by "${delimiter}": ${whole.toFixed(1)} ms, bare Papa Parse ${papa.toFixed(1)} ms: ${ratio.toFixed(2)} times (budget 5)${ratio > 5 ? '  OVER BUDGET' : ''}; by the quickest turns ${quickest.toFixed(2)}; the very first time ${cold.whole.toFixed(0)} and ${cold.papa.toFixed(0)} ms`,
    );
  }
  const text = hourFile(',');
  const series = imported(text);
  const first = timed(() => analysed(series));
  const usual = middle(Array.from({ length: 15 }, () => timed(() => analysed(series))));
  console.log(
    `all analyses on it (thresholds, slopes, 13 averagings of all columns, peak by 13 rules, plateau): ${usual.toFixed(1)} ms (budget 100)${usual > 100 ? '  OVER BUDGET' : ''}; the very first time ${first.toFixed(0)} ms`,
  );
  for (const noise of [0.5, 1, 2])
    console.log(`V-slope at ${noise} times the stated noise of ${constants.breathNoise.value} L/min: ${rateOfVSlope(1000, noise).says}`);
}
