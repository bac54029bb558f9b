/** Intensity classes as data, and the class of a value. */
import type { Source } from './formula.ts';

export type IntensityClass = 'very light' | 'light' | 'moderate' | 'vigorous' | 'near-maximal to maximal';

/** The measures by which an intensity can be stated; METs come in four columns by age. */
export type IntensityMeasure = 'heart-rate-reserve' | 'vo2-reserve' | 'heart-rate-max' | 'vo2-max' | 'rpe';

export const intensityClasses: readonly IntensityClass[] = ['very light', 'light', 'moderate', 'vigorous', 'near-maximal to maximal'];

export interface IntensityScale {
  /** lower bounds of light, moderate, vigorous and near-maximal; half-open, so that no value falls between two classes */
  readonly bounds: readonly [number, number, number, number];
  readonly unit: '%' | 'RPE' | 'METs';
}

export const intensityScales: Readonly<Record<IntensityMeasure, IntensityScale>> = {
  'heart-rate-reserve': { bounds: [30, 40, 60, 90], unit: '%' },
  'vo2-reserve': { bounds: [30, 40, 60, 90], unit: '%' },
  'heart-rate-max': { bounds: [57, 64, 77, 96], unit: '%' },
  'vo2-max': { bounds: [37, 46, 64, 91], unit: '%' },
  rpe: { bounds: [9, 12, 14, 18], unit: 'RPE' },
};

export const intensitySource: Source = {
  citation: 'Garber CE et al. Med Sci Sports Exerc 2011;43:1334; boundaries as in the AHA reprint, Circulation 2020',
  provenance: 'P',
  note: 'the column of heart-rate reserve below 30 is partly from memory; reprints differ by one at some boundaries; per cent of HRmax is not interchangeable between schemes',
};

/** Lower bounds in METs by age: light, moderate, vigorous, near-maximal. */
export const metScales = {
  general: { from: 0, to: Infinity, bounds: [2.0, 3.0, 6.0, 8.8] },
  '20-39': { from: 20, to: 39, bounds: [2.4, 4.8, 7.2, 10.2] },
  '40-64': { from: 40, to: 64, bounds: [2.0, 4.0, 6.0, 8.5] },
  '65+': { from: 65, to: Infinity, bounds: [1.6, 3.2, 4.8, 6.8] },
} as const;

export const metScaleSource: Source = {
  citation: 'Garber CE et al. Med Sci Sports Exerc 2011;43:1334',
  provenance: 'M',
  note: 'the limits of light, moderate and vigorous in the general column were seen in print; the columns by age are from memory',
};

function classAt(value: number, bounds: readonly number[]): IntensityClass {
  const index = bounds.filter((bound) => value >= bound).length;
  return intensityClasses[index] ?? 'near-maximal to maximal';
}

/** The class of a relative intensity, in per cent or RPE (6 to 20). */
export function intensityClassOf(measure: IntensityMeasure, value: number): IntensityClass {
  return classAt(value, intensityScales[measure].bounds);
}

/** The class of an absolute intensity in METs, by the column for the age; without an age, or under 20 years, the general column. */
export function intensityClassOfMets(mets: number, ageYears?: number): IntensityClass {
  const years = ageYears === undefined ? undefined : Math.floor(ageYears);
  const column =
    years === undefined
      ? metScales.general
      : ([metScales['20-39'], metScales['40-64'], metScales['65+']].find((scale) => years >= scale.from && years <= scale.to) ??
        metScales.general);
  return classAt(mets, column.bounds);
}

/** Recommended volume for adults, for the page beside a prescription. */
export const recommendedVolume = {
  moderate: { daysPerWeek: 5, minutesPerDay: 30, minutesPerWeek: 150 },
  vigorous: { daysPerWeek: 3, minutesPerDay: 20, minutesPerWeek: 75 },
  metMinutesPerWeek: [500, 1000],
  kcalPerWeek: 1000,
  source: {
    citation: 'Garber CE et al. Med Sci Sports Exerc 2011;43:1334',
    provenance: 'P',
    note: 'the upper 1000 MET·min and the 1000 kcal are from memory',
  } satisfies Source,
} as const;
