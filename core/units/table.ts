/**
 * The units of the laboratory, as data: code, dimension, exact factor to the dimension's base unit, the label that people read
 * and the spellings that people type.
 *
 * Codes are UCUM (case-sensitive). Definitions that are exact by agreement: international mile 1609.344 m, inch 0.0254 m,
 * avoirdupois pound 0.45359237 kg (international yard and pound agreement, 1959); conventional millimetre of mercury
 * 133.322387415 Pa (ISO 80000-4); thermochemical calorie 4.184 J (UCUM `cal_th`); standard gravity 9.80665 m/s² (CGPM 1901).
 */

export type Dimension =
  | 'speed'
  | 'pace'
  | 'fraction'
  | 'mass'
  | 'length'
  | 'rate'
  | 'pressure'
  | 'time'
  | 'age'
  | 'flow'
  | 'uptake-per-mass'
  | 'power'
  | 'power-rate'
  | 'force'
  | 'temperature'
  | 'energy'
  | 'energy-rate'
  | 'weekly-energy'
  | 'weekly-met-time'
  | 'met-time'
  | 'energy-per-volume'
  | 'mass-flow'
  | 'mass-per-volume'
  | 'volume'
  | 'volume-per-beat'
  | 'volume-per-mass-beat'
  | 'volume-per-work'
  | 'rate-pressure'
  | 'pressure-per-met'
  | 'body-mass-index'
  | 'area'
  | 'concentration'
  | 'distance-per-turn'
  | 'flow-per-power'
  | 'per-age'
  | 'score';

export type UnitCode =
  | 'm/min'
  | 'km/h'
  | '[mi_i]/h'
  | 'm/s'
  | 'min/km'
  | 'min/[mi_i]'
  | '1'
  | '%'
  | 'kg'
  | 'g'
  | '[lb_av]'
  | '[stone_av]'
  | 'm'
  | 'cm'
  | 'mm'
  | 'km'
  | '[in_i]'
  | '[ft_i]'
  | '[mi_i]'
  | '/min'
  | '/s'
  | 'mm[Hg]'
  | 'kPa'
  | 'hPa'
  | "[in_i'Hg]"
  | 's'
  | 'ms'
  | 'min'
  | 'h'
  | 'd'
  | 'wk'
  | 'a'
  | 'L/min'
  | 'mL/min'
  | 'L/h'
  | 'L/s'
  | 'mL/kg/min'
  | '[MET]'
  | 'W'
  | 'kgf.m/min'
  | 'W/min'
  | 'kgf'
  | 'Cel'
  | '[degF]'
  | 'kcal'
  | 'kJ'
  | 'kcal/min'
  | 'kJ/min'
  | 'kcal/h'
  | 'kcal/d'
  | 'kcal/wk'
  | '[MET].min/wk'
  | '[MET].min'
  | 'kcal/L'
  | 'kJ/L'
  | 'g/min'
  | 'g/L'
  | 'L'
  | 'mL'
  | 'mL/{beat}'
  | 'mL/kg/{beat}'
  | 'mL/kg/km'
  | 'mm[Hg]/min'
  | 'mm[Hg]/[MET]'
  | 'kg/m2'
  | 'm2'
  | 'mmol/L'
  | 'm/{rev}'
  | 'mL/min/W'
  | '/a'
  | '{score}';

export interface Unit {
  readonly code: UnitCode;
  readonly dimension: Dimension;
  /** base = value × factor + offset */
  readonly factor: number;
  readonly offset?: number;
  /** what people read beside a number */
  readonly label: string;
  /** what people say, for a sentence: "miles per hour" */
  readonly name: string;
  /** what people type, besides the code and the label; compared after `normaliseSpelling` */
  readonly spellings: readonly string[];
}

/** metres in an international mile; exact */
export const METRES_PER_MILE = 1609.344;
/** kilograms in an avoirdupois pound; exact */
export const KG_PER_POUND = 0.45359237;
/** mL/kg/min in one MET: the convention of the ACSM metabolic equations and of the Compendium of Physical Activities */
export const VO2_PER_MET = 3.5;
/**
 * Kilogram-metres per minute in one watt as the laboratory converts them (Compendium unit page: 6.12).
 * Exactly it is 60 / 9.80665 = 6.11830; see `KGM_PER_MIN_PER_WATT_EXACT`.
 */
export const KGM_PER_MIN_PER_WATT = 6.12;
/** 60 / 9.80665: the same factor from standard gravity */
export const KGM_PER_MIN_PER_WATT_EXACT = 60 / 9.80665;
/** kJ in a kilocalorie; exact */
export const KJ_PER_KCAL = 4.184;
/** kPa in a conventional millimetre of mercury */
export const KPA_PER_MMHG = 0.133322387415;

/**
 * Factors that textbooks and course keys round. They are used only where a printed answer is reproduced (tests) or a slip is
 * recognised; a measurement is always converted exactly.
 */
export const HANDBOOK_FACTORS = {
  /** m/min per mph, ACSM course keys */
  metresPerMinutePerMph: 26.8,
  /** lb per kg, ACSM course keys */
  poundsPerKilogram: 2.2,
  /** kg·m/min per W, Compendium unit page */
  kgmPerMinPerWatt: 6.12,
  /** kg·m/min per W, the quick rule behind the constants 10.8 and 18 */
  kgmPerMinPerWattQuick: 6,
} as const;

/** m/min in one mph: 1609.344 / 60, exact as a decimal */
const MPH = 26.8224;

export const units: readonly Unit[] = [
  {
    code: 'm/min',
    dimension: 'speed',
    factor: 1,
    label: 'm/min',
    name: 'metres per minute',
    spellings: ['m/minute', 'metres/min', 'meters/min'],
  },
  {
    code: 'km/h',
    dimension: 'speed',
    factor: 1000 / 60,
    label: 'km/h',
    name: 'kilometres per hour',
    spellings: ['kmh', 'kph', 'km/hr', 'kmph'],
  },
  {
    code: '[mi_i]/h',
    dimension: 'speed',
    factor: MPH,
    label: 'mph',
    name: 'miles per hour',
    spellings: ['mph', 'mi/h', 'mi/hr', 'miles/h', 'miles/hour', 'mile/h'],
  },
  { code: 'm/s', dimension: 'speed', factor: 60, label: 'm/s', name: 'metres per second', spellings: ['m/sec', 'mps'] },

  { code: 'min/km', dimension: 'pace', factor: 1, label: 'min/km', name: 'minutes per kilometre', spellings: ['/km', 'minutes/km'] },
  {
    code: 'min/[mi_i]',
    dimension: 'pace',
    factor: 1 / (METRES_PER_MILE / 1000),
    label: 'min/mile',
    name: 'minutes per mile',
    spellings: ['min/mi', '/mile', '/mi', 'minutes/mile'],
  },

  { code: '1', dimension: 'fraction', factor: 1, label: '', name: 'as a fraction', spellings: ['fraction', 'ratio'] },
  { code: '%', dimension: 'fraction', factor: 0.01, label: '%', name: 'per cent', spellings: ['percent', 'pct', 'percentage'] },

  {
    code: 'kg',
    dimension: 'mass',
    factor: 1,
    label: 'kg',
    name: 'kilograms',
    spellings: ['kgs', 'kilo', 'kilos', 'kilogram', 'kilograms'],
  },
  { code: 'g', dimension: 'mass', factor: 0.001, label: 'g', name: 'grams', spellings: ['gram', 'grams'] },
  {
    code: '[lb_av]',
    dimension: 'mass',
    factor: KG_PER_POUND,
    label: 'lb',
    name: 'pounds',
    spellings: ['lbs', 'pound', 'pounds', 'lbm', '#'],
  },
  { code: '[stone_av]', dimension: 'mass', factor: 14 * KG_PER_POUND, label: 'st', name: 'stone', spellings: ['stone', 'stones'] },

  { code: 'm', dimension: 'length', factor: 1, label: 'm', name: 'metres', spellings: ['metre', 'metres', 'meter', 'meters'] },
  {
    code: 'cm',
    dimension: 'length',
    factor: 0.01,
    label: 'cm',
    name: 'centimetres',
    spellings: ['centimetre', 'centimetres', 'centimeter', 'centimeters'],
  },
  {
    code: 'mm',
    dimension: 'length',
    factor: 0.001,
    label: 'mm',
    name: 'millimetres',
    spellings: ['millimetre', 'millimetres', 'millimeter', 'millimeters'],
  },
  {
    code: 'km',
    dimension: 'length',
    factor: 1000,
    label: 'km',
    name: 'kilometres',
    spellings: ['kilometre', 'kilometres', 'kilometer', 'kilometers'],
  },
  { code: '[in_i]', dimension: 'length', factor: 0.0254, label: 'in', name: 'inches', spellings: ['inch', 'inches', '"', "''"] },
  { code: '[ft_i]', dimension: 'length', factor: 0.3048, label: 'ft', name: 'feet', spellings: ['foot', 'feet', "'"] },
  { code: '[mi_i]', dimension: 'length', factor: METRES_PER_MILE, label: 'miles', name: 'miles', spellings: ['mi', 'mile'] },

  {
    code: '/min',
    dimension: 'rate',
    factor: 1,
    label: '/min',
    name: 'per minute',
    spellings: [
      'bpm',
      'beats/min',
      'beat/min',
      'b/min',
      '1/min',
      'rpm',
      'rev/min',
      'cycles/min',
      'breaths/min',
      'beats',
      '{beat}/min',
      '{beats}/min',
    ],
  },
  { code: '/s', dimension: 'rate', factor: 60, label: '/s', name: 'per second', spellings: ['hz', '1/s'] },

  { code: 'mm[Hg]', dimension: 'pressure', factor: 1, label: 'mmHg', name: 'millimetres of mercury', spellings: ['mmhg', 'torr'] },
  { code: 'kPa', dimension: 'pressure', factor: 1 / KPA_PER_MMHG, label: 'kPa', name: 'kilopascals', spellings: [] },
  {
    code: 'hPa',
    dimension: 'pressure',
    factor: 0.1 / KPA_PER_MMHG,
    label: 'hPa',
    name: 'hectopascals',
    spellings: ['mbar', 'millibar', 'millibars'],
  },
  { code: "[in_i'Hg]", dimension: 'pressure', factor: 25.4, label: 'inHg', name: 'inches of mercury', spellings: ['in hg', 'inches hg'] },

  { code: 's', dimension: 'time', factor: 1, label: 's', name: 'seconds', spellings: ['sec', 'secs', 'second', 'seconds', '"', "''"] },
  { code: 'ms', dimension: 'time', factor: 0.001, label: 'ms', name: 'milliseconds', spellings: ['msec', 'millisecond', 'milliseconds'] },
  { code: 'min', dimension: 'time', factor: 60, label: 'min', name: 'minutes', spellings: ['m', 'mins', 'minute', 'minutes', "'"] },
  { code: 'h', dimension: 'time', factor: 3600, label: 'h', name: 'hours', spellings: ['hr', 'hrs', 'hour', 'hours'] },
  { code: 'd', dimension: 'time', factor: 86400, label: 'd', name: 'days', spellings: ['day', 'days'] },
  { code: 'wk', dimension: 'time', factor: 604800, label: 'wk', name: 'weeks', spellings: ['week', 'weeks', 'wks'] },

  { code: 'a', dimension: 'age', factor: 1, label: 'y', name: 'years', spellings: ['yr', 'yrs', 'year', 'years', 'yo', 'y/o'] },

  {
    code: 'L/min',
    dimension: 'flow',
    factor: 1,
    label: 'L/min',
    name: 'litres per minute',
    spellings: ['lpm', 'litres/min', 'liters/min', 'litre/min'],
  },
  {
    code: 'mL/min',
    dimension: 'flow',
    factor: 0.001,
    label: 'mL/min',
    name: 'millilitres per minute',
    spellings: ['millilitres/min', 'milliliters/min', 'cc/min'],
  },
  { code: 'L/h', dimension: 'flow', factor: 1 / 60, label: 'L/h', name: 'litres per hour', spellings: ['l/hr'] },
  { code: 'L/s', dimension: 'flow', factor: 60, label: 'L/s', name: 'litres per second', spellings: ['l/sec'] },

  {
    code: 'mL/kg/min',
    dimension: 'uptake-per-mass',
    factor: 1,
    label: 'mL/kg/min',
    name: 'millilitres per kilogram per minute',
    spellings: ['ml/(kg.min)', 'ml/(kg*min)', 'ml/min/kg', 'ml/kg.min', 'mlkgmin'],
  },
  {
    code: '[MET]',
    dimension: 'uptake-per-mass',
    factor: VO2_PER_MET,
    label: 'METs',
    name: 'metabolic equivalents',
    spellings: ['met', 'mets'],
  },

  { code: 'W', dimension: 'power', factor: 1, label: 'W', name: 'watts', spellings: ['watt', 'watts', 'j/s'] },
  // The trade writes kg·m/min; the kilogram there is a force, so the UCUM code is kgf.m/min.
  {
    code: 'kgf.m/min',
    dimension: 'power',
    factor: 1 / KGM_PER_MIN_PER_WATT,
    label: 'kg·m/min',
    name: 'kilogram-metres per minute',
    spellings: ['kg.m/min', 'kgm/min', 'kg*m/min', 'kg-m/min', 'kpm/min', 'kp.m/min', 'kgmmin', 'kgfm/min'],
  },
  { code: 'W/min', dimension: 'power-rate', factor: 1, label: 'W/min', name: 'watts per minute', spellings: ['watts/min', 'watt/min'] },
  { code: 'kgf', dimension: 'force', factor: 1, label: 'kp', name: 'kiloponds', spellings: ['kp', 'kg', 'kilopond', 'kiloponds'] },

  {
    code: 'Cel',
    dimension: 'temperature',
    factor: 1,
    label: '°C',
    name: 'degrees Celsius',
    spellings: ['c', 'degc', 'celsius', '°c', 'deg'],
  },
  {
    code: '[degF]',
    dimension: 'temperature',
    factor: 5 / 9,
    offset: -160 / 9,
    label: '°F',
    name: 'degrees Fahrenheit',
    spellings: ['f', 'degf', 'fahrenheit', '°f'],
  },

  { code: 'kcal', dimension: 'energy', factor: 1, label: 'kcal', name: 'kilocalories', spellings: ['kilocalorie', 'kilocalories'] },
  { code: 'kJ', dimension: 'energy', factor: 1 / KJ_PER_KCAL, label: 'kJ', name: 'kilojoules', spellings: ['kilojoule', 'kilojoules'] },
  { code: 'kcal/min', dimension: 'energy-rate', factor: 1, label: 'kcal/min', name: 'kilocalories per minute', spellings: [] },
  { code: 'kJ/min', dimension: 'energy-rate', factor: 1 / KJ_PER_KCAL, label: 'kJ/min', name: 'kilojoules per minute', spellings: [] },
  {
    code: 'kcal/h',
    dimension: 'energy-rate',
    factor: 1 / 60,
    label: 'kcal/h',
    name: 'kilocalories per hour',
    spellings: ['kcal/hr', 'kcal/hour'],
  },
  { code: 'kcal/d', dimension: 'energy-rate', factor: 1 / 1440, label: 'kcal/day', name: 'kilocalories per day', spellings: ['kcal/24h'] },
  { code: 'kcal/wk', dimension: 'weekly-energy', factor: 1, label: 'kcal/week', name: 'kilocalories per week', spellings: ['kcal/wk'] },
  {
    code: '[MET].min/wk',
    dimension: 'weekly-met-time',
    factor: 1,
    label: 'MET·min/week',
    name: 'MET-minutes per week',
    spellings: ['met.min/wk', 'met-min/wk', 'met-min/week', 'metmin/wk', 'mets.min/wk'],
  },
  {
    code: '[MET].min',
    dimension: 'met-time',
    factor: 1,
    label: 'MET·min',
    name: 'MET-minutes',
    spellings: ['met.min', 'met-min', 'metmin'],
  },
  { code: 'kcal/L', dimension: 'energy-per-volume', factor: 1, label: 'kcal/L', name: 'kilocalories per litre of oxygen', spellings: [] },
  {
    code: 'kJ/L',
    dimension: 'energy-per-volume',
    factor: 1 / KJ_PER_KCAL,
    label: 'kJ/L',
    name: 'kilojoules per litre of oxygen',
    spellings: [],
  },
  { code: 'g/min', dimension: 'mass-flow', factor: 1, label: 'g/min', name: 'grams per minute', spellings: [] },
  { code: 'g/L', dimension: 'mass-per-volume', factor: 1, label: 'g/L', name: 'grams per litre of oxygen', spellings: [] },

  { code: 'L', dimension: 'volume', factor: 1, label: 'L', name: 'litres', spellings: ['litre', 'litres', 'liter', 'liters'] },
  {
    code: 'mL',
    dimension: 'volume',
    factor: 0.001,
    label: 'mL',
    name: 'millilitres',
    spellings: ['millilitre', 'millilitres', 'milliliter', 'milliliters', 'cc'],
  },
  {
    code: 'mL/{beat}',
    dimension: 'volume-per-beat',
    factor: 1,
    label: 'mL/beat',
    name: 'millilitres per beat',
    spellings: ['ml/beat', 'ml/b', 'ml'],
  },
  {
    code: 'mL/kg/{beat}',
    dimension: 'volume-per-mass-beat',
    factor: 1,
    label: 'mL/kg/beat',
    name: 'millilitres per kilogram per beat',
    spellings: ['ml/kg/beat', 'ml/kg'],
  },
  {
    code: 'mL/kg/km',
    dimension: 'volume-per-work',
    factor: 1,
    label: 'mL/kg/km',
    name: 'millilitres per kilogram per kilometre',
    spellings: [],
  },

  {
    code: 'mm[Hg]/min',
    dimension: 'rate-pressure',
    factor: 1,
    label: 'mmHg·beats/min',
    name: 'millimetres of mercury times beats per minute',
    spellings: ['mmhg/min', 'mmhg.beats/min', 'mmhg.bpm', 'mmhg*bpm', 'mmhg.b/min', 'mmhgbpm'],
  },
  {
    code: 'mm[Hg]/[MET]',
    dimension: 'pressure-per-met',
    factor: 1,
    label: 'mmHg/MET',
    name: 'millimetres of mercury per MET',
    spellings: ['mmhg/met'],
  },
  {
    code: 'kg/m2',
    dimension: 'body-mass-index',
    factor: 1,
    label: 'kg/m²',
    name: 'kilograms per square metre',
    spellings: ['kg/m^2', 'kg/m2'],
  },
  { code: 'm2', dimension: 'area', factor: 1, label: 'm²', name: 'square metres', spellings: ['m^2', 'sqm'] },
  { code: 'mmol/L', dimension: 'concentration', factor: 1, label: 'mmol/L', name: 'millimoles per litre', spellings: ['mm', 'mmol'] },
  {
    code: 'm/{rev}',
    dimension: 'distance-per-turn',
    factor: 1,
    label: 'm/rev',
    name: 'metres per revolution',
    spellings: ['m', 'm/rev', 'm/turn'],
  },
  {
    code: 'mL/min/W',
    dimension: 'flow-per-power',
    factor: 1,
    label: 'mL/min/W',
    name: 'millilitres per minute per watt',
    spellings: ['ml/w/min'],
  },
  { code: '/a', dimension: 'per-age', factor: 1, label: '/y', name: 'per year', spellings: ['/yr', '/year'] },
  { code: '{score}', dimension: 'score', factor: 1, label: '', name: 'points', spellings: ['points', 'point', 'score'] },
];

const byCode = new Map<string, Unit>(units.map((unit) => [unit.code, unit]));

/** The table's row for a code. Codes are typed, so a missing row is a bug and throws. */
export function unitOf(code: UnitCode): Unit {
  const unit = byCode.get(code);
  if (!unit) throw new Error(`No unit with the code "${code}" in the table of units.`);
  return unit;
}

/** True when the text is one of the table's codes, exactly as UCUM spells it. */
export function isUnitCode(text: string): text is UnitCode {
  return byCode.has(text);
}

/** The dimension of a unit: 'speed', 'mass' … */
export function dimensionOf(code: UnitCode): Dimension {
  return unitOf(code).dimension;
}
