/** Saturated water-vapour pressure: the table that lab books print, and closed forms beside it. */
import { defineFormula, n } from './define.ts';
import type { Formula, Validity } from './formula.ts';

/** mmHg at 15, 16 … 40 °C: the classic handbook column of exercise-physiology tables [from memory; within 0.1 % of the newer ones]. */
export const vapourPressureTable: readonly number[] = [
  12.788, 13.634, 14.53, 15.477, 16.477, 17.535, 18.65, 19.827, 21.068, 22.377, 23.756, 25.209, 26.739, 28.349, 30.043, 31.824, 33.695,
  35.663, 37.729, 39.898, 42.175, 44.563, 47.067, 49.692, 52.442, 55.324,
];
export const VAPOUR_TABLE_FROM = 15;

/** mmHg of saturated vapour at 37 °C, from the same table */
export const VAPOUR_PRESSURE_BODY = 47.067;

/** The table at a temperature between 15 and 40 °C, linear between whole degrees; NaN outside. */
export function vapourFromTable(celsius: number): number {
  const at = celsius - VAPOUR_TABLE_FROM;
  const index = Math.floor(at);
  const low = vapourPressureTable[index];
  if (low === undefined) return Number.NaN;
  const share = at - index;
  if (share === 0) return low;
  const high = vapourPressureTable[index + 1];
  return high === undefined ? Number.NaN : low + share * (high - low);
}

const MMHG_PER_HPA = 0.750062;

/** Saturated vapour pressure of a bag, mmHg: the table from 15 to 40 °C; below it, to 5 °C, Buck's closed form. */
export function vapourPressureOf(celsius: number): number {
  return celsius < VAPOUR_TABLE_FROM ? vapourForms['buck-1981'](celsius) : vapourFromTable(celsius);
}

/** Closed forms, mmHg at °C. */
export const vapourForms = {
  'buck-1981': (t: number) => MMHG_PER_HPA * 6.1121 * Math.exp((17.502 * t) / (240.97 + t)),
  'buck-1996': (t: number) => MMHG_PER_HPA * 6.1121 * Math.exp(((18.678 - t / 234.5) * t) / (257.14 + t)),
  magnus: (t: number) => MMHG_PER_HPA * 6.1094 * Math.exp((17.625 * t) / (243.04 + t)),
  antoine: (t: number) => 10 ** (8.07131 - 1730.63 / (233.426 + t)),
  quadratic: (t: number) => 13.955 - 0.6584 * t + 0.0419 * t * t,
  'glasgow-line': (t: number) => 1.1001 * t - 4.19,
  table: vapourPressureOf,
} as const;

/** The warning that every step with a vapour pressure shares. */
export const belowTable: Validity = {
  input: 'temperature',
  min: VAPOUR_TABLE_FROM,
  text: 'The handbook table of vapour pressure begins at 15 °C; below it Buck’s equation of 1981 is used.',
};

export const vapourPressure: Formula = defineFormula({
  id: 'vapour-pressure',
  title: 'Saturated water-vapour pressure',
  family: 'Volumes of gas',
  inputs: {
    temperature: { label: 'Temperature', symbol: 't', unit: 'Cel', alsoUnits: ['[degF]'], min: 5, max: 40 },
    form: {
      label: 'Form',
      symbol: 'form',
      unit: '1',
      choices: [
        { value: 'table', label: 'handbook table' },
        { value: 'buck-1981', label: 'Buck 1981' },
        { value: 'buck-1996', label: 'Buck 1996' },
        { value: 'magnus', label: 'Magnus (Alduchov & Eskridge 1996)' },
        { value: 'antoine', label: 'Antoine' },
        { value: 'quadratic', label: 'quadratic of lab texts' },
        { value: 'glasgow-line', label: 'straight line, Glasgow' },
      ],
      default: 'table',
    },
  },
  output: { label: 'Water-vapour pressure', symbol: 'PH₂O', unit: 'mm[Hg]', alsoUnits: ['kPa', 'hPa'], decimals: 2 },
  validity: [belowTable],
  check: (v) => {
    if (v.form === 'quadratic')
      return [{ text: 'The quadratic is up to 0.72 mmHg off the table from 15 to 40 °C, and more below [coefficients from memory].' }];
    const outside = v.form === 'glasgow-line' && (v.temperature < 15 || v.temperature > 25);
    return outside ? [{ text: 'The straight line holds from 15 to 25 °C only, within 0.48 mmHg; at 40 °C it is 28 % low.' }] : [];
  },
  error: { kind: 'range', value: 0.11, unit: '%', text: 'Buck 1981 is within 0.11 % of the table from 15 to 40 °C; Antoine within 0.43 %' },
  source: {
    citation: 'CRC Handbook of Chemistry and Physics (classic column); Buck AL. J Appl Meteorol 1981;20:1527',
    provenance: 'M',
    note: 'the column is from memory; it agrees with the handbook’s kPa table [seen] within 0.1 %, whose 38 °C value is a misprint (6.6398 for 6.6298); straight line: University of Glasgow, Exercise Science pages (1.1001, misprinted 1.001 in an example)',
  },
  equation: 'table, or 0.750062·6.1121·e^(17.502·t/(240.97 + t)) (Buck 1981)',
  compute: (v) => vapourForms[v.form](v.temperature),
  substituted: (v) => (v.form === 'table' ? `table at ${n(v.temperature, 1)} °C` : `${v.form} at ${n(v.temperature, 1)} °C`),
});
