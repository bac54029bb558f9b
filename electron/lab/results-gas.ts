/** The gas exchange file of a replay, at the terminal and as data. */
import { gasLines, peakRuleLine } from '../../core/results/gas-words.ts';
import type { GasResult, ThresholdResult } from '../../core/results/gas.ts';
import type { ThresholdFinding } from '../../core/gas/threshold-finding.ts';
import type { SlopeFinding } from '../../core/gas/efficiency.ts';
import type { ReplayReport } from './results-json.ts';
import { table } from './table.ts';

/** What a gas exchange file gave, as text for the terminal; empty without one. */
export function gasText({ results, state }: ReplayReport): string {
  const { gas } = results;
  if (!gas) return '';
  if (!gas.found) return `\nGas exchange file\n  ${gas.says}\n  nothing could be worked out: ${gas.reason ?? 'not known'}\n`;
  const { found } = gas;
  const lines = gasLines(found, state.mass).map(({ label, value, note, source }) => `  ${label}: ${value}\n      ${note}${source === undefined ? '' : `\n      ${source}`}\n`);
  const rules = found.sensitivity.table.map((one) => {
    const line = peakRuleLine(one);
    return [line.label, line.value, line.difference, line.reason];
  });
  const notes = found.series.notes.map((note) => `  ${note}\n`);
  return `\nGas exchange file\n  ${gas.says}\n  thresholds looked for ${found.rampBecause}\n${lines.join('')}${notes.join('')}\nPeak by averaging\n${table(['rule', 'VO₂ L/min', 'difference', ''], rules)}`;
}

const orNull = <Value>(value: Value | undefined): Value | null => value ?? null;

/** Moments are seconds of the session. */
export function gasJson(gas: GasResult): object {
  const { attached, found } = gas;
  const head = { file: attached.name, hash: attached.hash, rows: attached.rows, perBreath: attached.perBreath, offsetSeconds: attached.offset / 1000, aligned: attached.aligned, mapping: attached.mapping };
  if (!found) return { ...head, reason: orNull(gas.reason) };
  const seconds = (time: number): number => (time + found.alignment.offset) / 1000;
  const finding = (one: ThresholdFinding): object => ({
    id: one.id, title: one.title, outcome: one.outcome, reason: one.reason,
    at: one.at ? { vo2: one.at.vo2, vco2: orNull(one.at.vco2), ventilation: orNull(one.at.ve), heartRate: orNull(one.at.heartRate), loadWatts: orNull(one.at.load), atSeconds: seconds(one.at.time) } : null,
    interval95: one.x ? [one.x.low, one.x.high] : null,
    lines: one.lines.map(({ slope, intercept }) => ({ slope, intercept })),
    points: one.points.x.length, smoothing: one.points.label,
    checks: one.checks, source: one.source.citation,
  });
  const threshold = (one: ThresholdResult): object => ({
    vo2: orNull(one.value), from: orNull(one.from), percentOfPeak: orNull(one.percent),
    automatic: { vSlope: finding(one.methods['v-slope'].automatic), equivalents: finding(one.methods.equivalents.automatic) },
    placed: one.placed ? { vo2: one.placed.vo2, by: one.placed.author, method: one.placed.method, note: orNull(one.placed.note), percentOfPeak: orNull(one.placedPercent) } : null,
    says: one.says,
  });
  const slope = (one: SlopeFinding): object => ({ outcome: one.outcome, slope: orNull(one.slope), standardError: orNull(one.slopeSd), intercept: orNull(one.intercept), rSquared: orNull(one.rSquared), rows: one.rows, reason: one.reason, source: one.source.citation });
  const { slopes } = found.analysis;
  return {
    ...head,
    notes: found.series.notes,
    rampFromSeconds: seconds(found.ramp.from), rampToSeconds: seconds(found.ramp.to), rampBecause: found.rampBecause,
    peak: found.peak ? { vo2: found.peak.value, rule: found.peak.rule, fromSeconds: seconds(found.peak.from), toSeconds: seconds(found.peak.to), rows: found.peak.rows } : null,
    peakByAveraging: found.sensitivity.table.map((one) => ({ rule: one.label, vo2: orNull(one.peak?.value), differencePercent: orNull(one.difference), reason: orNull(one.reason) })),
    peakSpread: orNull(found.sensitivity.spread),
    plateaus: found.plateaus.map(({ id, title, outcome, value, below, unit, says, source }) => ({ id, title, outcome, value: orNull(value), below: orNull(below), unit, says, source: source.citation })),
    vt1: threshold(found.thresholds[0]),
    vt2: threshold(found.thresholds[1]),
    ventilationSlope: slope(slopes.ventilation),
    ventilationSlopeWholeTest: slope(slopes.ventilationWhole),
    lowestVentilatoryEquivalent: { value: orNull(slopes.lowestEquivalent.value), rule: slopes.lowestEquivalent.rule, source: slopes.lowestEquivalent.source.citation },
    oues: slope(slopes.oues),
  };
}
