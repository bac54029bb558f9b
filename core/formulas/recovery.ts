/** Indices of recovery, and the published cut-offs, which depend on posture: physiology for the class, not a diagnosis. */
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec, Source } from './formula.ts';

const FAMILY = 'Recovery';
const sbp = (label: string, symbol: string) =>
  ({ label, symbol, unit: 'mm[Hg]', alsoUnits: ['kPa'], min: 40, max: 320 }) as const satisfies InputSpec;

export const systolicRatioPeak: Formula = defineFormula({
  id: 'systolic-recovery-ratio-peak',
  title: 'Systolic recovery ratio, 3 minutes to peak',
  family: FAMILY,
  inputs: { recovery: sbp('Systolic pressure at 3 min', 'SBP₃'), peak: sbp('Peak systolic pressure', 'SBPpeak') },
  output: { label: 'Systolic recovery ratio', symbol: 'SBP₃/SBPpeak', unit: '1', decimals: 2 },
  validity: [{ input: 'output', max: 0.9, text: 'Above 0.90 is the published cut-off for a slow fall; it is not a diagnosis.' }],
  source: { citation: 'Taylor AJ, Beller GA. Am Fam Physician 1998; first Amon 1984', provenance: 'P' },
  equation: 'SBP(3 min)/SBP(peak)',
  compute: (v) => v.recovery / v.peak,
  substituted: (v) => `${n(v.recovery, 1)} / ${n(v.peak, 1)}`,
  solve: { recovery: (v) => v.output * v.peak, peak: (v) => v.recovery / v.output },
});

export const systolicRatioOneMinute: Formula = defineFormula({
  id: 'systolic-recovery-ratio-1-minute',
  title: 'Systolic recovery ratio, 3 minutes to 1 minute',
  family: FAMILY,
  inputs: { recovery: sbp('Systolic pressure at 3 min', 'SBP₃'), first: sbp('Systolic pressure at 1 min', 'SBP₁') },
  output: { label: 'Systolic recovery ratio', symbol: 'SBP₃/SBP₁', unit: '1', decimals: 2 },
  validity: [{ input: 'output', max: 1, text: 'Above 1.0 is the published cut-off for a slow fall; it is not a diagnosis.' }],
  source: { citation: 'McHam SA et al. 1999 (493 people)', provenance: 'P', note: 'abstract: above 1.0; quoted elsewhere as at least 1.0' },
  equation: 'SBP(3 min)/SBP(1 min)',
  compute: (v) => v.recovery / v.first,
  substituted: (v) => `${n(v.recovery, 1)} / ${n(v.first, 1)}`,
  solve: { recovery: (v) => v.output * v.first, first: (v) => v.recovery / v.output },
});

export const oxygenDeficit: Formula = defineFormula({
  id: 'oxygen-deficit-steady',
  title: 'Oxygen deficit at the onset of steady exercise',
  family: FAMILY,
  inputs: {
    steady: { label: 'Steady oxygen uptake', symbol: 'VO₂ss', unit: 'L/min', alsoUnits: ['mL/min'], min: 0.1, max: 8 },
    time: { label: 'Time', symbol: 't', unit: 'min', alsoUnits: ['s'], min: 0.1, max: 120 },
    used: { label: 'Oxygen taken up in that time', symbol: 'ΣVO₂·Δt', unit: 'L', min: 0, max: 900 },
  },
  output: { label: 'Oxygen deficit', symbol: 'O₂ deficit', unit: 'L', decimals: 2 },
  validity: [{ input: 'output', min: 0, text: 'More oxygen was taken up than the steady state would need; check the readings.' }],
  source: { citation: 'definition', provenance: 'C' },
  equation: 'O₂ deficit = VO₂ss·t − ΣVO₂·Δt',
  compute: (v) => v.steady * v.time - v.used,
  substituted: (v) => `${n(v.steady, 3)} × ${n(v.time, 3)} − ${n(v.used, 3)}`,
  solve: { used: (v) => v.steady * v.time - v.output },
});

export const oxygenDeficitKinetics: Formula = defineFormula({
  id: 'oxygen-deficit-kinetics',
  title: 'Oxygen deficit from the onset fit',
  family: FAMILY,
  inputs: {
    amplitude: { label: 'Amplitude', symbol: 'A', unit: 'L/min', alsoUnits: ['mL/min'], min: 0, max: 8 },
    delay: { label: 'Delay', symbol: 'TD', unit: 's', min: 0, max: 120 },
    tau: { label: 'Time constant', symbol: 'τ', unit: 's', min: 1, max: 300 },
  },
  output: { label: 'Oxygen deficit', symbol: 'O₂ deficit', unit: 'L', decimals: 2 },
  validity: [],
  population: 'τ 20 to 40 s healthy, 10 to 20 s highly trained [from memory]',
  source: { citation: 'Bell C et al. Exp Physiol 2001;86:667 (model)', provenance: 'P' },
  equation: 'O₂ deficit = A·(TD + τ)/60',
  compute: (v) => (v.amplitude * (v.delay + v.tau)) / 60,
  substituted: (v) => `${n(v.amplitude, 3)} × (${n(v.delay, 1)} + ${n(v.tau, 1)}) / 60`,
  solve: { amplitude: (v) => (v.output * 60) / (v.delay + v.tau) },
});

export const meanResponseTime: Formula = defineFormula({
  id: 'mean-response-time',
  title: 'Mean response time of oxygen uptake',
  family: FAMILY,
  inputs: {
    delay: { label: 'Delay', symbol: 'TD', unit: 's', min: 0, max: 120 },
    tau: { label: 'Time constant', symbol: 'τ', unit: 's', min: 1, max: 300 },
  },
  output: { label: 'Mean response time', symbol: 'MRT', unit: 's', decimals: 0 },
  validity: [],
  source: { citation: 'definition', provenance: 'C' },
  equation: 'MRT = TD + τ',
  compute: (v) => v.delay + v.tau,
  substituted: (v) => `${n(v.delay, 2)} + ${n(v.tau, 2)}`,
  solve: { delay: (v) => v.output - v.tau, tau: (v) => v.output - v.delay },
});

export const onsetUptake: Formula = defineFormula({
  id: 'vo2-at-onset',
  title: 'Oxygen uptake after a step in work rate',
  family: FAMILY,
  inputs: {
    baseline: { label: 'Baseline', symbol: 'B', unit: 'L/min', alsoUnits: ['mL/min'], min: 0, max: 6 },
    amplitude: { label: 'Amplitude', symbol: 'A', unit: 'L/min', alsoUnits: ['mL/min'], min: 0, max: 8 },
    delay: { label: 'Delay', symbol: 'TD', unit: 's', min: 0, max: 120 },
    tau: { label: 'Time constant', symbol: 'τ', unit: 's', min: 1, max: 300 },
    time: { label: 'Time since the step', symbol: 't', unit: 's', alsoUnits: ['min'], min: 0, max: 600 },
  },
  output: { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'L/min', alsoUnits: ['mL/min'], decimals: 3 },
  validity: [],
  source: { citation: 'Bell C et al. Exp Physiol 2001;86:667 (model for moderate work)', provenance: 'P' },
  equation: 'VO₂ = B + A·(1 − e^(−(t − TD)/τ)) for t ≥ TD',
  compute: (v) => (v.time <= v.delay ? v.baseline : v.baseline + v.amplitude * (1 - Math.exp(-(v.time - v.delay) / v.tau))),
  substituted: (v) => `${n(v.baseline, 3)} + ${n(v.amplitude, 3)} × (1 − e^(−(${n(v.time, 1)} − ${n(v.delay, 1)}) / ${n(v.tau, 1)}))`,
});

export const epoc: Formula = defineFormula({
  id: 'epoc',
  title: 'Excess oxygen after exercise',
  family: FAMILY,
  inputs: {
    used: { label: 'Oxygen taken up in recovery', symbol: 'ΣVO₂·Δt', unit: 'L', min: 0, max: 900 },
    resting: { label: 'Resting oxygen uptake', symbol: 'VO₂rest', unit: 'L/min', alsoUnits: ['mL/min'], min: 0, max: 2 },
    time: { label: 'Time of recovery measured', symbol: 't', unit: 'min', alsoUnits: ['s', 'h'], min: 0.1, max: 1440 },
  },
  output: { label: 'Excess oxygen after exercise', symbol: 'EPOC', unit: 'L', decimals: 2 },
  validity: [{ input: 'output', min: 0, text: 'Less oxygen was taken up than at rest; check the resting uptake.' }],
  population:
    '6 to 15 % of the net oxygen cost even in studies of a long excess (LaForgia 2006); the value covers the time measured and no more',
  source: { citation: 'definition, as a class computes it', provenance: 'C' },
  equation: 'EPOC = ΣVO₂·Δt − VO₂rest·t',
  compute: (v) => v.used - v.resting * v.time,
  substituted: (v) => `${n(v.used, 3)} − ${n(v.resting, 3)} × ${n(v.time, 3)}`,
  solve: { used: (v) => v.output + v.resting * v.time },
});

export const halfRecoveryTime: Formula = defineFormula({
  id: 'vo2-recovery-half-time',
  title: 'Time for oxygen uptake to fall by half after the peak',
  family: FAMILY,
  inputs: {
    peak: { label: 'Peak oxygen uptake', symbol: 'VO₂peak', unit: 'L/min', alsoUnits: ['mL/min'], min: 0.2, max: 8 },
    timeBefore: { label: 'Time of the last reading above half', symbol: 't₁', unit: 's', alsoUnits: ['min'], min: 0, max: 3600 },
    vo2Before: { label: 'Oxygen uptake then', symbol: 'VO₂(t₁)', unit: 'L/min', alsoUnits: ['mL/min'], min: 0, max: 8 },
    timeAfter: { label: 'Time of the first reading at or below half', symbol: 't₂', unit: 's', alsoUnits: ['min'], min: 0, max: 3600 },
    vo2After: { label: 'Oxygen uptake then', symbol: 'VO₂(t₂)', unit: 'L/min', alsoUnits: ['mL/min'], min: 0, max: 8 },
  },
  output: { label: 'Half-time of recovery', symbol: 'T½', unit: 's', alsoUnits: ['min'], decimals: 0 },
  validity: [],
  check: (v) =>
    v.timeAfter <= v.timeBefore || v.vo2Before <= v.peak / 2 || v.vo2After > v.peak / 2
      ? [{ text: 'Half of the peak must lie between the two readings: above it at the first, at or below it at the second.', hard: true }]
      : [],
  population: 'about 60 to 90 s in healthy adults [from memory]',
  source: { citation: 'definition; linear between the two readings', provenance: 'C' },
  equation: 'T½ = t₁ + (t₂ − t₁)·(VO₂(t₁) − VO₂peak/2)/(VO₂(t₁) − VO₂(t₂))',
  compute: (v) => v.timeBefore + ((v.timeAfter - v.timeBefore) * (v.vo2Before - v.peak / 2)) / (v.vo2Before - v.vo2After),
  substituted: (v) =>
    `${n(v.timeBefore, 1)} + (${n(v.timeAfter, 1)} − ${n(v.timeBefore, 1)}) × (${n(v.vo2Before, 3)} − ${n(v.peak, 3)}/2) / (${n(v.vo2Before, 3)} − ${n(v.vo2After, 3)})`,
});

export const epocEnergy: Formula = defineFormula({
  id: 'epoc-energy',
  title: 'Energy of the excess oxygen after exercise',
  family: FAMILY,
  inputs: { epoc: { label: 'Excess oxygen after exercise', symbol: 'EPOC', unit: 'L', min: 0, max: 100 } },
  output: { label: 'Energy', symbol: 'E', unit: 'kcal', alsoUnits: ['kJ'], decimals: 0 },
  validity: [],
  source: { citation: '5 kcal per litre of oxygen', provenance: 'C' },
  equation: 'E = 5·EPOC',
  compute: (v) => 5 * v.epoc,
  substituted: (v) => `5 × ${n(v.epoc, 3)}`,
  solve: { epoc: (v) => v.output / 5 },
});

export const recoveryFormulas: readonly Formula[] = [
  systolicRatioPeak,
  systolicRatioOneMinute,
  meanResponseTime,
  onsetUptake,
  oxygenDeficit,
  oxygenDeficitKinetics,
  epoc,
  epocEnergy,
  halfRecoveryTime,
];

/** A reading of oxygen uptake that stands for an interval. */
export interface UptakeInterval {
  /** L/min, the mean of the interval */
  readonly vo2: number;
  /** min */
  readonly minutes: number;
}

/** Oxygen taken up over the intervals, L. */
export function oxygenUsed(intervals: readonly UptakeInterval[]): number {
  return intervals.reduce((total, interval) => total + interval.vo2 * interval.minutes, 0);
}

/**
 * Excess oxygen after exercise, L: Σ(VO₂ − VO₂rest)·Δt over the recovery. The value covers the intervals that were measured and
 * no more; intervals below rest count negative.
 */
export function excessOxygen(intervals: readonly UptakeInterval[], restingVo2: number): number {
  return intervals.reduce((total, interval) => total + (interval.vo2 - restingVo2) * interval.minutes, 0);
}

/**
 * When a value first fell to a level in recovery, in the unit of the times, linear between the two readings around it: the time for
 * oxygen uptake to fall by half from its peak, or for systolic pressure to return to rest. Undefined where it never did, or was
 * there before the first reading.
 */
export function timeToFall(points: readonly { readonly time: number; readonly value: number }[], level: number): number | undefined {
  const index = points.findIndex((point) => point.value <= level);
  const after = points[index];
  const before = points[index - 1];
  if (!after || !before) return undefined;
  return before.time + ((before.value - level) / (before.value - after.value)) * (after.time - before.time);
}

export type RecoveryPosture = 'upright-walking' | 'seated' | 'lying-left' | 'lying';

/** Published cut-offs of heart-rate recovery, each for its own posture, activity and time. */
export interface RecoveryCutOff {
  readonly id: string;
  /** postures for which the source stands */
  readonly postures: readonly RecoveryPosture[];
  readonly minute: 1 | 2;
  /** /min; "slow" at or below (`inclusive`) or below */
  readonly cut: number;
  readonly inclusive: boolean;
  readonly protocol: string;
  readonly source: Source;
}

export const recoveryCutOffs: readonly RecoveryCutOff[] = [
  {
    id: 'cole-1999',
    postures: ['upright-walking'],
    minute: 1,
    cut: 12,
    inclusive: true,
    protocol: 'upright, 2-minute walking cool-down',
    source: {
      citation: 'Cole CR et al. N Engl J Med 1999;341:1351; Nishime EO et al. JAMA 2000',
      provenance: 'P',
      note: '1.5 mph at 2.5 % is from memory',
    },
  },
  {
    id: 'watanabe-2001',
    postures: ['lying-left'],
    minute: 1,
    cut: 18,
    inclusive: true,
    protocol: 'lying on the left side at once (exercise echocardiography)',
    source: { citation: 'Watanabe J et al. Circulation 2001;104:1911', provenance: 'P' },
  },
  {
    id: 'shetler-2001',
    postures: ['lying'],
    minute: 2,
    cut: 22,
    inclusive: false,
    protocol: 'treadmill ramp without cool-down, lying',
    source: { citation: 'Shetler K et al. J Am Coll Cardiol 2001;38:1980', provenance: 'P', note: 'that they lay is from memory' },
  },
  {
    id: 'cole-2000',
    postures: ['seated'],
    minute: 2,
    cut: 42,
    inclusive: true,
    protocol: 'submaximal Bruce to 85 % of predicted maximum, no cool-down, sitting',
    source: { citation: 'Cole CR et al. Ann Intern Med 2000', provenance: 'P', note: 'that they sat is from memory' },
  },
  {
    id: 'carnethon-cardia',
    postures: ['upright-walking', 'seated'],
    minute: 2,
    cut: 22,
    inclusive: false,
    protocol: 'maximal treadmill test in young adults; mean 44 ± 11; posture not stated in what was seen',
    source: { citation: 'Carnethon MR et al. (CARDIA)', provenance: 'P' },
  },
];

/** The cut-offs whose posture and minute fit; an empty list says that none was published for them. */
export function recoveryCutOffsFor(posture: RecoveryPosture, minute: 1 | 2): readonly RecoveryCutOff[] {
  return recoveryCutOffs.filter((cutOff) => cutOff.minute === minute && cutOff.postures.includes(posture));
}

/** Whether a heart-rate recovery counts as slow by a cut-off. */
export function isSlowRecovery(recovery: number, cutOff: RecoveryCutOff): boolean {
  return cutOff.inclusive ? recovery <= cutOff.cut : recovery < cutOff.cut;
}
