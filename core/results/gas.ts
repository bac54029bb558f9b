/**
 * What the joined gas exchange file gives: the peak by every rule, the thresholds (found by the program, and placed by a person,
 * side by side), and the slopes. The file's text comes from beside the record, by its hash.
 */
import { formatClock } from '../clock-text.ts';
import type { Alignment } from '../gas/align.ts';
import type { ApplyOptions } from '../gas/apply-mapping.ts';
import type { Averaging } from '../gas/averaging.ts';
import { importOptions, readSeries } from '../gas/kept-series.ts';
import { peakOf, peakSensitivity, type PeakFinding, type PeakSensitivity } from '../gas/peak.ts';
import { plateausOf, type PlateauFinding } from '../gas/plateau.ts';
import type { BreathSeries, Stretch } from '../gas/series.ts';
import type { ThresholdFinding } from '../gas/threshold-finding.ts';
import { analyseThresholds, percentOfPeak, withPlaced, type JudgedThreshold, type ThresholdAnalysis } from '../gas/thresholds.ts';
import type { Result } from '../result.ts';
import type { AttachedSeries, PlacedThreshold } from '../session/series.ts';
import type { SessionState, StageState } from '../session/state.ts';

/** The text of a kept series by its hash; undefined where it is not at hand. */
export type SeriesText = (hash: string) => string | undefined;

export const thresholdMethods = ['v-slope', 'equivalents'] as const;
export type ThresholdMethod = (typeof thresholdMethods)[number];

export interface ThresholdResult {
  readonly id: 'vt1' | 'vt2';
  readonly label: string;
  readonly methods: Readonly<Record<ThresholdMethod, JudgedThreshold>>;
  /** The program's own: by V-slope (VE on VCO₂ for the second), else by the equivalents. */
  readonly automatic?: { readonly finding: ThresholdFinding; readonly method: ThresholdMethod; readonly vo2: number };
  /** The last one that a person placed. */
  readonly placed?: PlacedThreshold;
  /** What counts in results and marking: the program's own; where it cannot tell, the placed one. */
  readonly value?: number;
  readonly from?: 'program' | 'placed';
  /** Per cent of the file's peak. */
  readonly percent?: number;
  readonly placedPercent?: number;
  /** One or two sentences, also where nothing can be told. */
  readonly says: string;
}

export interface GasFindings {
  readonly series: BreathSeries;
  readonly alignment: Alignment;
  /** Start of exercise to the stop, and the part with rising work, on the file's clock. */
  readonly exercise: Stretch;
  readonly ramp: Stretch;
  readonly rampBecause: string;
  /** Highest mean by the rule that differences are taken from. */
  readonly peak?: PeakFinding;
  readonly sensitivity: PeakSensitivity;
  readonly plateaus: readonly PlateauFinding[];
  readonly analysis: ThresholdAnalysis;
  readonly thresholds: readonly [ThresholdResult, ThresholdResult];
}

export interface GasResult {
  readonly attached: AttachedSeries;
  /** "ramp.csv, 612 breaths; 0:00 in the file is 21:05 of the session, by a marked event". */
  readonly says: string;
  readonly found?: GasFindings;
  /** Why nothing could be worked out. */
  readonly reason?: string;
}

/** @returns undefined for a session that no file was joined to. */
export function gasResult(state: SessionState, text: SeriesText | undefined): GasResult | undefined {
  const attached = state.series.at(-1);
  if (!attached) return undefined;
  const aligned = attached.aligned === 'event' ? 'by a marked event' : 'as typed';
  const head = { attached, says: `${attached.name}, ${attached.rows} ${attached.perBreath ? 'breaths' : 'rows of means'}; 0:00 in the file is ${formatClock(attached.offset)} of the session, ${aligned}` };
  const kept = text?.(attached.hash);
  if (kept === undefined) return { ...head, reason: 'the rows of the gas exchange file are not with this record' };
  const read = readKnown(kept, attached, importOptions(state));
  if (!read.ok) return { ...head, reason: read.error.message };
  const alignment: Alignment = { offset: attached.offset, by: attached.aligned === 'event' ? 'marked event' : 'typed offset', says: head.says };
  const found = findingsOf(state, read.value, alignment);
  return typeof found === 'string' ? { ...head, reason: found } : { ...head, found };
}

/** Everything from one series: also before it is joined, to show what joining it would give. */
export function findingsOf(state: SessionState, series: BreathSeries, alignment: Alignment): GasFindings | string {
  const { exercise: started } = state.starts;
  if (started === undefined) return 'exercise has not begun';
  const last = series.time[series.length - 1] ?? 0;
  const inFile = (time: number): number => time - alignment.offset;
  const stop = state.stop?.taken;
  const exercise = { from: inFile(started), to: stop === undefined ? last : Math.min(last, inFile(stop)) };
  if (!(exercise.to > exercise.from) || (series.time[0] ?? 0) > exercise.to) return 'with this alignment the file and the exercise do not meet';
  const work = rampOf(state, started);
  const ramp = { from: inFile(work.from), to: exercise.to };
  const known = analysed(series, ramp, exercise, state.mass);
  if (known === undefined) return 'the file has no part of the exercise';
  const { analysis, sensitivity, peak, plateaus } = known;
  const threshold = (id: 'vt1' | 'vt2'): ThresholdResult => thresholdResult(id, { series, ramp, analysis, peak }, state.placedThresholds);
  return {
    series, alignment, exercise, ramp, rampBecause: work.because, sensitivity, plateaus, analysis,
    ...(peak === undefined ? {} : { peak }),
    thresholds: [threshold('vt1'), threshold('vt2')],
  };
}

/** The averaging that the headline peak is read from: 30-s means, or the file's own means where they are longer. */
export function usualAveraging(series: Pick<BreathSeries, 'rows'>): Averaging {
  return { kind: 'time-bins', seconds: series.rows.kind === 'averaged' ? Math.max(30, series.rows.seconds) : 30 };
}

/** Where the work begins to rise, session time: after the minutes that were all set like the first one, or without a load. */
function rampOf(state: SessionState, started: number): { readonly from: number; readonly because: string } {
  const [first, ...others] = state.stages;
  const same = (stage: StageState): boolean => (['load', 'speed', 'grade', 'step-rate'] as const).every((name) => stage.actual[name]?.value === first?.actual[name]?.value);
  const rises = others.find((stage) => !same(stage));
  const warmUp = first !== undefined && rises !== undefined && (rises.number > 2 || first.actual.load?.value === 0);
  return warmUp ? { from: rises.changed, because: `from stage ${rises.number}, where the work begins to rise, to the stop` } : { from: started, because: 'from the start of exercise to the stop' };
}

function thresholdResult(id: 'vt1' | 'vt2', from: { readonly series: BreathSeries; readonly ramp: Stretch; readonly analysis: ThresholdAnalysis; readonly peak: PeakFinding | undefined }, placedThresholds: readonly PlacedThreshold[]): ThresholdResult {
  const { series, ramp, analysis, peak } = from;
  const findings: Record<ThresholdMethod, ThresholdFinding> =
    id === 'vt1' ? { 'v-slope': analysis.first.vSlope, equivalents: analysis.first.equivalents } : { 'v-slope': analysis.second.compensation, equivalents: analysis.second.equivalents };
  const placedBy = (method: ThresholdMethod): PlacedThreshold | undefined => placedThresholds.findLast((one) => one.threshold === id && one.method === method);
  const judged = (method: ThresholdMethod): JudgedThreshold => {
    const placed = placedBy(method);
    return withPlaced(series, ramp, findings[method], placed && { vo2: placed.vo2, by: placed.author, ...(placed.note === undefined ? {} : { reason: placed.note }) });
  };
  const method = thresholdMethods.find((one) => findings[one].at !== undefined);
  const vo2 = method && findings[method].at?.vo2;
  const automatic = method === undefined || vo2 === undefined ? undefined : { finding: findings[method], method, vo2 };
  const placed = placedThresholds.findLast((one) => one.threshold === id);
  const value = automatic?.vo2 ?? placed?.vo2;
  const label = id === 'vt1' ? 'First ventilatory threshold' : 'Second ventilatory threshold';
  const own = automatic ? `${automatic.finding.title}: ${automatic.finding.reason}` : `The program cannot tell: ${findings['v-slope'].reason}`;
  const chosen = placed ? ` Placed by ${placed.author} at VO₂ ${placed.vo2.toFixed(2)} L/min (${placed.method === 'v-slope' ? (id === 'vt1' ? 'V-slope' : 'VE on VCO₂') : 'equivalents'})${placed.note === undefined ? '' : `: “${placed.note}”`}.` : '';
  const share = (of: number | undefined): number | undefined => (of === undefined || peak === undefined || !(peak.value > 0) ? undefined : (100 * of) / peak.value);
  const percent = automatic && peak ? percentOfPeak(automatic.finding, peak.value) : share(value);
  const placedPercent = share(placed?.vo2);
  return {
    id,
    label,
    methods: { 'v-slope': judged('v-slope'), equivalents: judged('equivalents') },
    ...(automatic === undefined ? {} : { automatic }),
    ...(placed === undefined ? {} : { placed }),
    ...(value === undefined ? {} : { value, from: automatic ? ('program' as const) : ('placed' as const) }),
    ...(percent === undefined ? {} : { percent }),
    ...(placedPercent === undefined ? {} : { placedPercent }),
    says: `${own}${chosen}`,
  };
}

interface Known {
  readonly analysis: ThresholdAnalysis;
  readonly sensitivity: PeakSensitivity;
  readonly peak: PeakFinding | undefined;
  readonly plateaus: readonly PlateauFinding[];
}

/** Results are asked for again after every event; the file is read and searched once for each set of what it depends on. */
const MOST_REMEMBERED = 6;
const readings = new Map<string, { readonly text: string; readonly read: Result<BreathSeries> }>();
const analyses = new WeakMap<BreathSeries, Map<string, Known | undefined>>();

function readKnown(text: string, { hash, mapping }: AttachedSeries, options: ApplyOptions): Result<BreathSeries> {
  const key = JSON.stringify([hash, mapping, options]);
  const known = readings.get(key);
  if (known?.text === text) return known.read;
  const read = readSeries(text, mapping, options);
  const [oldest] = readings.size >= MOST_REMEMBERED ? readings.keys() : [];
  if (oldest !== undefined) readings.delete(oldest);
  readings.set(key, { text, read });
  return read;
}

function analysed(series: BreathSeries, ramp: Stretch, exercise: Stretch, massKg: number | undefined): Known | undefined {
  const key = JSON.stringify([ramp, exercise, massKg]);
  const known = analyses.get(series) ?? new Map<string, Known | undefined>();
  analyses.set(series, known);
  if (known.has(key)) return known.get(key);
  const analysis = analyseThresholds(series, ramp);
  const reference = usualAveraging(series);
  const made = analysis && {
    analysis,
    sensitivity: peakSensitivity(series, exercise, reference),
    peak: peakOf(series, reference, exercise),
    plateaus: plateausOf(series, exercise, massKg === undefined ? {} : { massKg }),
  };
  if (known.size >= MOST_REMEMBERED) known.clear();
  known.set(key, made);
  return made;
}
