/** Speeds in the unit that the people at this station prefer; everything else as the lab sheet has it. */
import { convert, formatNumber, unitOf, type UnitCode } from '../../core/units/units.ts';
import { settingQuantities, type SettingQuantity } from '../../core/vocabulary.ts';
import type { Settings } from '../../core/session/state.ts';

export type SpeedUnit = 'km/h' | '[mi_i]/h';
/** The units in which settings are shown. */
export interface Shown {
  readonly speed: SpeedUnit;
  /** Left out: as the lab sheet has it. */
  readonly load?: 'W' | 'kgf.m/min';
  readonly decimalMark?: ',' | undefined;
}

/** A text of figures with the station's decimal mark: "4,2". */
export function marked(text: string, decimalMark: ',' | undefined): string {
  return decimalMark === ',' ? text.replace(/(\d)\.(?=\d)/g, '$1,') : text;
}
const shownOf = (shown: SpeedUnit | Shown): Shown => (typeof shown === 'string' ? { speed: shown } : shown);

/** One setting as a large figure with its unit beside it. */
export interface Figure {
  readonly quantity: SettingQuantity;
  readonly number: string;
  readonly unit: string;
}

/** @param settings in the vocabulary's units. The number as it was planned or typed where its unit is the preferred one. */
export function figuresOf(settings: Settings, shown: SpeedUnit | Shown): readonly Figure[] {
  const { speed, load, decimalMark } = shownOf(shown);
  return (Object.keys(settingQuantities) as SettingQuantity[]).flatMap((quantity) => {
    const setting = settings[quantity];
    if (!setting) return [];
    const wanted: UnitCode = quantity === 'speed' ? speed : quantity === 'load' ? (load ?? setting.unit) : setting.unit;
    const { decimals, unit: own } = settingQuantities[quantity];
    const number = setting.unit === wanted ? asPlanned(setting.typed, quantity) : formatNumber(convert(setting.value, own, wanted), decimals);
    return [{ quantity, number: marked(number, decimalMark), unit: quantity === 'cadence' ? '/min' : unitOf(wanted).label }];
  });
}

/** "5" mph beside "5.5" mph would look like another kind of number; a grade of "10" stays as it is written. */
function asPlanned(typed: string, quantity: SettingQuantity): string {
  return quantity === 'speed' && /^\d+$/.test(typed) ? `${typed}.0` : typed;
}

/** "5.5 km/h, 14 %" */
export function settingsWords(settings: Settings, shown: SpeedUnit | Shown): string {
  return figuresOf(settings, shown)
    .map((figure) => `${figure.number} ${figure.unit}`)
    .join(', ');
}

/** The unit of speed that the lab sheet's own stages are written in. */
export function plannedSpeedUnit(settings: Settings): SpeedUnit {
  return settings.speed?.unit === '[mi_i]/h' ? '[mi_i]/h' : 'km/h';
}

/** A speed of the record (km/h) in the preferred unit: "5.5 km/h". */
export function speedWords(kilometresPerHour: number, speedUnit: SpeedUnit): string {
  return `${formatNumber(convert(kilometresPerHour, 'km/h', speedUnit), settingQuantities.speed.decimals)} ${unitOf(speedUnit).label}`;
}

/** Settings as a fact writes them; undefined where there are none. */
export function typedSettings(settings: Settings): Partial<Record<SettingQuantity, { typed: string; unit: string }>> | undefined {
  const entries = Object.entries(settings).map(([quantity, { typed, unit }]) => [quantity, { typed, unit }] as const);
  return entries.length === 0 ? undefined : Object.fromEntries(entries);
}
