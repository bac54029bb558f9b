/** The findings of a gas exchange file as lines: the same on the screen, on paper and at the terminal. */
import { formatClock } from '../clock-text.ts';
import type { PeakByRule } from '../gas/peak.ts';
import type { SlopeFinding } from '../gas/efficiency.ts';
import { formatNumber } from '../units/units.ts';
import type { GasFindings, ThresholdResult } from './gas.ts';

export interface GasLine {
  readonly label: string;
  readonly value: string;
  readonly note: string;
  readonly source?: string;
}

const litres = (value: number): string => `${formatNumber(value, 2)} L/min`;
const percentText = (value: number | undefined): string => (value === undefined ? '' : `, ${formatNumber(value, 0)} % of the peak`);

/** @param massKg for the peak per kilogram. */
export function gasLines(found: GasFindings, massKg: number | undefined): readonly GasLine[] {
  const { peak, sensitivity, thresholds, plateaus, analysis } = found;
  const { ventilation, ventilationWhole, oues, lowestEquivalent } = analysis.slopes;
  const relative = peak === undefined || massKg === undefined ? '' : `, ${formatNumber((1000 * peak.value) / massKg, 1)} mL/kg/min`;
  return [
    peak === undefined
      ? { label: 'Peak VO₂ of the file', value: '–', note: 'no mean is filled by its rows' }
      : { label: 'Peak VO₂ of the file', value: `${litres(peak.value)}${relative}`, note: `${peak.rule}; ${formatClock(peak.from + found.alignment.offset)} to ${formatClock(peak.to + found.alignment.offset)} of the session` },
    { label: 'The averaging moves it by', value: sensitivity.spread === undefined ? '–' : litres(sensitivity.spread), note: 'highest less lowest of the means in the table; single breaths left out' },
    ...thresholds.flatMap((one) => thresholdLines(one)),
    slopeLine(ventilation, 1),
    slopeLine(ventilationWhole, 1),
    { label: 'Lowest VE/VCO₂', value: lowestEquivalent.value === undefined ? '–' : formatNumber(lowestEquivalent.value, 1), note: lowestEquivalent.rule, source: lowestEquivalent.source.citation },
    slopeLine(oues, 0),
    ...plateaus.map((one): GasLine => ({ label: `Plateau: ${one.title}`, value: one.outcome, note: one.says, source: one.source.citation })),
  ];
}

function thresholdLines(one: ThresholdResult): readonly GasLine[] {
  const short = one.id === 'vt1' ? 'VT1' : 'VT2';
  const at = one.automatic?.finding.at;
  const beside = at === undefined ? '' : `${at.heartRate === undefined ? '' : `, ${formatNumber(at.heartRate, 0)} /min`}${at.load === undefined ? '' : `, ${formatNumber(at.load, 0)} W`}`;
  const other = one.automatic?.method === 'equivalents' ? 'v-slope' : 'equivalents';
  const second = one.methods[other].automatic;
  return [
    {
      label: `${short}, found by the program`,
      value: one.automatic === undefined ? 'cannot tell' : `${litres(one.automatic.vo2)}${one.from === 'program' ? percentText(one.percent) : ''}${beside}`,
      note: one.automatic === undefined ? one.methods['v-slope'].automatic.reason : `${one.automatic.finding.title}. ${one.automatic.finding.reason}`,
      source: (one.automatic?.finding ?? one.methods['v-slope'].automatic).source.citation,
    },
    { label: `${short}, other method`, value: second.at === undefined ? 'cannot tell' : litres(second.at.vo2), note: `${second.title}. ${second.reason}`, source: second.source.citation },
    ...(one.placed === undefined
      ? []
      : [{ label: `${short}, placed by ${one.placed.author}`, value: `${litres(one.placed.vo2)}${percentText(one.placedPercent)}`, note: `${one.from === 'placed' ? 'counts, since the program cannot tell' : 'kept beside the program’s own, which is marked'}${one.placed.note === undefined ? '' : `; “${one.placed.note}”`}` }]),
  ];
}

function slopeLine(one: SlopeFinding, decimals: number): GasLine {
  const error = one.slopeSd === undefined ? '' : ` ± ${formatNumber(one.slopeSd, decimals + 1)}`;
  const r = one.rSquared === undefined ? '' : `; r² ${formatNumber(one.rSquared, 3)}`;
  return { label: one.title, value: one.slope === undefined ? 'cannot tell' : `${formatNumber(one.slope, decimals)}${error}`, note: `${one.reason.replace(/\.$/, '')}${r}`, source: one.source.citation };
}

/** One rule for the peak in words. */
export function peakRuleLine(one: PeakByRule): { readonly label: string; readonly value: string; readonly difference: string; readonly reason: string } {
  const difference = one.difference === undefined ? '' : `${one.difference > 0 ? '+' : ''}${formatNumber(one.difference, 1)} %`;
  return { label: one.label, value: one.peak === undefined ? '–' : formatNumber(one.peak.value, 2), difference, reason: one.reason ?? '' };
}
