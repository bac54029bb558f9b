/**
 * Volumes of gas between conditions: as measured (ATPS), dry at 0 °C and 760 mmHg (STPD), saturated at 37 °C (BTPS).
 * 273.15 K is used; books that use 273 differ by less than 0.005 %.
 */
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec, Source } from './formula.ts';
import { belowTable, VAPOUR_PRESSURE_BODY, vapourPressure, vapourPressureOf } from './vapour-pressure.ts';

const FAMILY = 'Volumes of gas';
export const KELVIN = 273.15;
export const BODY_KELVIN = 310.15;

const pressure = {
  label: 'Barometric pressure',
  symbol: 'PB',
  unit: 'mm[Hg]',
  alsoUnits: ['hPa', 'kPa', "[in_i'Hg]"],
  min: 400,
  max: 850,
} as const satisfies InputSpec;
const temperature = {
  label: 'Gas temperature',
  symbol: 't',
  unit: 'Cel',
  alsoUnits: ['[degF]'],
  min: 5,
  max: 40,
} as const satisfies InputSpec;
const volume = { label: 'Volume or ventilation', symbol: 'V', unit: 'L/min', min: 0, max: 400 } as const satisfies InputSpec;
const factorOut = (symbol: string) => ({ label: 'Factor', symbol, unit: '1', decimals: 4 }) as const;

const source: Source = {
  citation: 'gas laws, as in exercise-physiology laboratory books; vapour pressure from the handbook table',
  provenance: 'P',
  note: 'ATPS to BTPS factors agree with a published table (1.102, 1.096, 1.091 at 20, 21, 22 °C)',
};

/** V(STPD)/V(ATPS), saturated at its own temperature. */
export const stpdFactorOf = (pressureMmHg: number, celsius: number) =>
  ((pressureMmHg - vapourPressureOf(celsius)) / 760) * (KELVIN / (KELVIN + celsius));
/** V(BTPS)/V(ATPS). */
export const btpsFactorOf = (pressureMmHg: number, celsius: number) =>
  ((pressureMmHg - vapourPressureOf(celsius)) / (pressureMmHg - VAPOUR_PRESSURE_BODY)) * (BODY_KELVIN / (KELVIN + celsius));

const stpdText = (v: { readonly pressure: number; readonly temperature: number }) =>
  `(${n(v.pressure, 1)} − ${n(vapourPressureOf(v.temperature), 3)}) / 760 × 273.15 / (273.15 + ${n(v.temperature, 1)})`;
const btpsText = (v: { readonly pressure: number; readonly temperature: number }) =>
  `(${n(v.pressure, 1)} − ${n(vapourPressureOf(v.temperature), 3)}) / (${n(v.pressure, 1)} − 47.067) × 310.15 / (273.15 + ${n(v.temperature, 1)})`;

export const stpdFactor: Formula = defineFormula({
  id: 'stpd-factor',
  title: 'Factor from ATPS to STPD',
  family: FAMILY,
  inputs: { pressure, temperature },
  output: factorOut('STPD factor'),
  validity: [belowTable],
  source,
  equation: '(PB − PH₂O)/760 · 273.15/(273.15 + t)',
  compute: (v) => stpdFactorOf(v.pressure, v.temperature),
  substituted: stpdText,
  slips: [
    {
      id: 'vapour-left-out',
      says: 'the water-vapour pressure was not taken off',
      compute: (v) => (v.pressure / 760) * (KELVIN / (KELVIN + v.temperature)),
    },
    {
      id: 'celsius-not-kelvin',
      says: 'the temperature was left in °C in the denominator',
      compute: (v) => ((v.pressure - vapourPressureOf(v.temperature)) / 760) * (KELVIN / v.temperature),
    },
  ],
});

export const btpsFactor: Formula = defineFormula({
  id: 'btps-factor',
  title: 'Factor from ATPS to BTPS',
  family: FAMILY,
  inputs: { pressure, temperature },
  output: factorOut('BTPS factor'),
  validity: [belowTable],
  source,
  equation: '(PB − PH₂O)/(PB − 47.067) · 310.15/(273.15 + t)',
  compute: (v) => btpsFactorOf(v.pressure, v.temperature),
  substituted: btpsText,
});

export const stpdFactorDry: Formula = defineFormula({
  id: 'stpd-factor-dry',
  title: 'Factor from ATPD to STPD (dry gas)',
  family: FAMILY,
  inputs: { pressure, temperature: { ...temperature, min: -20, max: 60 } },
  output: factorOut('STPD factor'),
  validity: [],
  source: { ...source, provenance: 'C', note: 'dry gas: no vapour pressure is taken off' },
  equation: 'PB/760 · 273.15/(273.15 + t)',
  compute: (v) => (v.pressure / 760) * (KELVIN / (KELVIN + v.temperature)),
  substituted: (v) => `${n(v.pressure, 1)} / 760 × 273.15 / (273.15 + ${n(v.temperature, 1)})`,
});

export const veStpd: Formula = defineFormula({
  id: 've-stpd',
  title: 'Ventilation, ATPS to STPD',
  family: FAMILY,
  inputs: { ve: { ...volume, label: 'Ventilation as measured', symbol: 'VE ATPS' }, pressure, temperature },
  output: { label: 'Ventilation STPD', symbol: 'VE STPD', unit: 'L/min', decimals: 2 },
  validity: [belowTable],
  source,
  equation: 'VE STPD = VE ATPS·(PB − PH₂O)/760·273.15/(273.15 + t)',
  compute: (v) => v.ve * stpdFactorOf(v.pressure, v.temperature),
  substituted: (v) => `${n(v.ve, 3)} × ${stpdText(v)}`,
  solve: { ve: (v) => v.output / stpdFactorOf(v.pressure, v.temperature) },
});

export const veStpdByFactor: Formula = defineFormula({
  id: 've-stpd-by-factor',
  title: 'Ventilation, ATPS to STPD, by a factor that is known',
  family: FAMILY,
  inputs: {
    ve: { ...volume, label: 'Ventilation as measured', symbol: 'VE ATPS' },
    factor: { label: 'STPD factor', symbol: 'factor', unit: '1', min: 0.3, max: 1.2 },
  },
  output: { label: 'Ventilation STPD', symbol: 'VE STPD', unit: 'L/min', decimals: 2 },
  validity: [],
  source: { ...source, note: 'the second step of the hand calculation' },
  equation: 'VE STPD = VE ATPS·factor',
  compute: (v) => v.ve * v.factor,
  substituted: (v) => `${n(v.ve, 3)} × ${n(v.factor, 4)}`,
  solve: { ve: (v) => v.output / v.factor, factor: (v) => v.output / v.ve },
  slips: [{ id: 'divided-by-factor', says: 'the ventilation was divided by the factor', compute: (v) => v.ve / v.factor }],
});

export const veBtps: Formula = defineFormula({
  id: 've-btps',
  title: 'Ventilation, ATPS to BTPS',
  family: FAMILY,
  inputs: { ve: { ...volume, label: 'Ventilation as measured', symbol: 'VE ATPS' }, pressure, temperature },
  output: { label: 'Ventilation BTPS', symbol: 'VE BTPS', unit: 'L/min', decimals: 2 },
  validity: [belowTable],
  source,
  equation: 'VE BTPS = VE ATPS·(PB − PH₂O)/(PB − 47.067)·310.15/(273.15 + t)',
  compute: (v) => v.ve * btpsFactorOf(v.pressure, v.temperature),
  substituted: (v) => `${n(v.ve, 3)} × ${btpsText(v)}`,
  solve: { ve: (v) => v.output / btpsFactorOf(v.pressure, v.temperature) },
});

export const btpsToStpdFactor: Formula = defineFormula({
  id: 'btps-to-stpd-factor',
  title: 'Factor from BTPS to STPD',
  family: FAMILY,
  inputs: { pressure },
  output: factorOut('BTPS to STPD'),
  validity: [],
  source: { citation: 'gas laws; 0.826 at 760 mmHg on the USC BME 403 course page', provenance: 'P' },
  equation: '(PB − 47)/760 · 273/310',
  compute: (v) => ((v.pressure - 47) / 760) * (273 / 310),
  substituted: (v) => `(${n(v.pressure, 1)} − 47) / 760 × 273 / 310`,
  solve: { pressure: (v) => (v.output * 760 * 310) / 273 + 47 },
});

export const ventilationFromBag: Formula = defineFormula({
  id: 'ventilation-from-bag',
  title: 'Ventilation from a bag',
  family: FAMILY,
  inputs: {
    volume: { label: 'Volume collected', symbol: 'V', unit: 'L', alsoUnits: ['mL'], min: 0, max: 1000 },
    time: { label: 'Time of collection', symbol: 't', unit: 'min', alsoUnits: ['s'], min: 0.1, max: 60 },
  },
  output: { label: 'Ventilation as measured', symbol: 'VE ATPS', unit: 'L/min', decimals: 2 },
  validity: [],
  source: { citation: 'definition', provenance: 'C' },
  equation: 'VE = V/t',
  compute: (v) => v.volume / v.time,
  substituted: (v) => `${n(v.volume, 3)} / ${n(v.time, 3)}`,
  solve: { volume: (v) => v.output * v.time, time: (v) => v.volume / v.output },
});

export const gasVolumeFormulas: readonly Formula[] = [
  ventilationFromBag,
  vapourPressure,
  stpdFactor,
  btpsFactor,
  stpdFactorDry,
  btpsToStpdFactor,
  veStpd,
  veStpdByFactor,
  veBtps,
];
