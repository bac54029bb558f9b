/**
 * What a column of a gas exchange file can be: the quantities, the units that they come in, the unit that they are kept in,
 * and the limits of what is plausible.
 */
import { readingLimits } from '../session/plausible.ts';
import type { UnitCode } from '../units/units.ts';

/** Values that a row can hold. */
export const gasValues = [
  'vo2',
  'vco2',
  've',
  'rer',
  'heart-rate',
  'breathing-rate',
  'tidal-volume',
  'feo2',
  'feco2',
  'peto2',
  'petco2',
  'load',
  'speed',
  'grade',
] as const;
export type GasValue = (typeof gasValues)[number];

/** What a column can be taken for. */
export type ColumnQuantity = GasValue | 'time' | 'marker' | 'ignore';

export interface GasQuantity {
  readonly id: GasValue;
  readonly label: string;
  readonly short: string;
  /** The unit that values are kept in after import. */
  readonly unit: UnitCode;
  /** Units that a file may give it in. */
  readonly accepts: readonly UnitCode[];
  readonly decimals: number;
  /** In `unit`. Outside `soft` a value is flagged as unusual, outside `hard` as not possible; both are kept. */
  readonly limits: { readonly soft: readonly [number, number]; readonly hard: readonly [number, number] };
  /** Set where a gas volume is meant: the state that it is kept in. */
  readonly condition?: GasCondition;
}

/** State of a gas volume: standard (0 °C, 760 mmHg, dry), body (37 °C, saturated), ambient (saturated, dry). */
export type GasCondition = 'STPD' | 'BTPS' | 'ATPS' | 'ATPD';

/**
 * Limits: data-entry limits of common practice [C]; those of a typed reading are used again. A file
 * runs from rest to maximum, so the soft limits are the outer ones of rest and exercise. End-tidal pressures: usual about 85
 * to 125 and 25 to 55 mmHg from rest to maximum, from memory of textbook values [M]; the limits here are set wide of those.
 */
const list: readonly GasQuantity[] = [
  {
    id: 'vo2',
    label: 'Oxygen uptake',
    short: 'VO₂',
    unit: 'L/min',
    accepts: ['L/min', 'mL/min', 'mL/kg/min', '[MET]'],
    decimals: 2,
    limits: { soft: [0.1, 5.5], hard: readingLimits.vo2.hard },
    condition: 'STPD',
  },
  {
    id: 'vco2',
    label: 'Carbon dioxide output',
    short: 'VCO₂',
    unit: 'L/min',
    accepts: ['L/min', 'mL/min', 'mL/kg/min'],
    decimals: 2,
    limits: { soft: [0.08, 6.5], hard: readingLimits.vco2.hard },
    condition: 'STPD',
  },
  {
    id: 've',
    label: 'Ventilation',
    short: 'VE',
    unit: 'L/min',
    accepts: ['L/min', 'mL/min', 'L/s'],
    decimals: 1,
    limits: { soft: [3, 190], hard: readingLimits.ve.hard },
    condition: 'BTPS',
  },
  {
    id: 'rer',
    label: 'Respiratory exchange ratio',
    short: 'RER',
    unit: '1',
    accepts: ['1', '%'],
    decimals: 2,
    limits: { soft: [0.7, 1.3], hard: readingLimits.rer.hard },
  },
  // The upper soft limit of a typed heart rate depends on age; without one the program asks above 220 here.
  {
    id: 'heart-rate',
    label: 'Heart rate',
    short: 'HR',
    unit: '/min',
    accepts: ['/min'],
    decimals: 0,
    limits: { soft: [40, 220], hard: readingLimits['heart-rate'].hard },
  },
  {
    id: 'breathing-rate',
    label: 'Breathing rate',
    short: 'fR',
    unit: '/min',
    accepts: ['/min', '/s'],
    decimals: 0,
    limits: { soft: [4, 65], hard: [4, 90] },
  },
  {
    id: 'tidal-volume',
    label: 'Tidal volume',
    short: 'VT',
    unit: 'L',
    accepts: ['L', 'mL'],
    decimals: 2,
    limits: { soft: [0.2, 3.8], hard: [0.2, 6] },
    condition: 'BTPS',
  },
  {
    id: 'feo2',
    label: 'Expired oxygen fraction',
    short: 'FEO₂',
    unit: '%',
    accepts: ['%', '1'],
    decimals: 2,
    limits: { soft: [14.5, 18.5], hard: [12, 20.95] },
  },
  {
    id: 'feco2',
    label: 'Expired carbon dioxide fraction',
    short: 'FECO₂',
    unit: '%',
    accepts: ['%', '1'],
    decimals: 2,
    limits: { soft: [2, 6.5], hard: [0.03, 9] },
  },
  {
    id: 'peto2',
    label: 'End-tidal oxygen pressure',
    short: 'PETO₂',
    unit: 'mm[Hg]',
    accepts: ['mm[Hg]', 'kPa'],
    decimals: 0,
    limits: { soft: [70, 135], hard: [40, 160] },
  },
  {
    id: 'petco2',
    label: 'End-tidal carbon dioxide pressure',
    short: 'PETCO₂',
    unit: 'mm[Hg]',
    accepts: ['mm[Hg]', 'kPa'],
    decimals: 0,
    limits: { soft: [20, 60], hard: [5, 90] },
  },
  {
    id: 'load',
    label: 'Load',
    short: 'Load',
    unit: 'W',
    accepts: ['W', 'kgf.m/min'],
    decimals: 0,
    limits: { soft: [0, 450], hard: [0, 800] },
  },
  {
    id: 'speed',
    label: 'Speed',
    short: 'Speed',
    unit: 'km/h',
    accepts: ['km/h', '[mi_i]/h', 'm/min', 'm/s'],
    decimals: 1,
    limits: { soft: [0, 20], hard: [0, 30] },
  },
  {
    id: 'grade',
    label: 'Grade',
    short: 'Grade',
    unit: '%',
    accepts: ['%', '1'],
    decimals: 1,
    limits: { soft: [-15, 20], hard: [-15, 30] },
  },
];

export const gasQuantities: Readonly<Record<GasValue, GasQuantity>> = Object.fromEntries(
  list.map((quantity) => [quantity.id, quantity]),
) as Record<GasValue, GasQuantity>;

/** Whether a mapped quantity is a value of gas exchange (and not, say, the time). */
export function isGasValue(quantity: string): quantity is GasValue {
  return Object.hasOwn(gasQuantities, quantity);
}
