/**
 * An exercise prescription from a test: target heart rate and oxygen uptake, load by the inverse equation, weekly energy, and a
 * check against the participant's own line of heart rate on oxygen uptake.
 */
import { VO2_PER_MET } from '../units/units.ts';
import { armVo2Acsm, legVo2Acsm } from './cost-cycle.ts';
import { stepVo2Acsm } from './cost-step.ts';
import { runVo2Acsm, walkVo2Acsm } from './cost-treadmill.ts';
import { defineFormula, n } from './define.ts';
import { evaluate, type Evaluation } from './evaluate.ts';
import type { Formula, InputSpec } from './formula.ts';
import { hrReserveTarget } from './heart-rate.ts';
import { intensityClassOf, intensityClassOfMets, type IntensityClass } from './intensity.ts';

const fraction = {
  label: 'Fraction',
  symbol: 'f',
  unit: '1',
  alsoUnits: ['%'],
  min: 0,
  max: 1,
  note: 'As a fraction in the equation: 60 % is 0.60.',
} as const satisfies InputSpec;
const vo2max = {
  label: 'Maximal oxygen uptake',
  symbol: 'VO₂max',
  unit: 'mL/kg/min',
  alsoUnits: ['[MET]'],
  min: 4,
  max: 100,
} as const satisfies InputSpec;

export const vo2ReserveTarget: Formula = defineFormula({
  id: 'vo2-reserve-target',
  title: 'Target oxygen uptake from oxygen-uptake reserve',
  family: 'Prescription',
  inputs: { fraction, vo2max },
  output: { label: 'Target oxygen uptake', symbol: 'VO₂target', unit: 'mL/kg/min', alsoUnits: ['[MET]'], decimals: 1 },
  validity: [],
  source: {
    citation: 'Garber CE et al. Med Sci Sports Exerc 2011;43:1334',
    provenance: 'M',
    note: 'per cent of heart-rate reserve stands for per cent of oxygen-uptake reserve, not of VO₂max',
  },
  equation: 'VO₂target = f·(VO₂max − 3.5) + 3.5',
  compute: (v) => v.fraction * (v.vo2max - VO2_PER_MET) + VO2_PER_MET,
  substituted: (v) => `${n(v.fraction)} × (${n(v.vo2max, 2)} − 3.5) + 3.5`,
  solve: {
    fraction: (v) => (v.output - VO2_PER_MET) / (v.vo2max - VO2_PER_MET),
    vo2max: (v) => (v.output - VO2_PER_MET) / v.fraction + VO2_PER_MET,
  },
  slips: [
    { id: 'rest-not-added-back', says: 'the resting 3.5 was not added back', compute: (v) => v.fraction * (v.vo2max - VO2_PER_MET) },
    { id: 'percent-of-maximum', says: 'the fraction was taken of VO₂max, not of the reserve', compute: (v) => v.fraction * v.vo2max },
  ],
});

export const vo2MaxTarget: Formula = defineFormula({
  id: 'vo2-max-target',
  title: 'Target oxygen uptake from per cent of maximum',
  family: 'Prescription',
  inputs: { fraction, vo2max },
  output: { label: 'Target oxygen uptake', symbol: 'VO₂target', unit: 'mL/kg/min', alsoUnits: ['[MET]'], decimals: 1 },
  validity: [],
  source: { citation: 'Garber CE et al. Med Sci Sports Exerc 2011;43:1334 (intensity by % VO₂max)', provenance: 'P' },
  equation: 'VO₂target = f·VO₂max',
  compute: (v) => v.fraction * v.vo2max,
  substituted: (v) => `${n(v.fraction)} × ${n(v.vo2max, 2)}`,
  solve: { fraction: (v) => v.output / v.vo2max, vo2max: (v) => v.output / v.fraction },
});

export const prescriptionFormulas: readonly Formula[] = [vo2ReserveTarget, vo2MaxTarget];

/** How the exercise is done, and what of it is fixed; the rest is solved for. */
export type PrescribedMode =
  | { readonly mode: 'walk' | 'run'; readonly solveFor: 'speed'; /** fraction */ readonly grade: number }
  | { readonly mode: 'walk' | 'run'; readonly solveFor: 'grade'; /** m/min */ readonly speed: number }
  | { readonly mode: 'leg-cycle' | 'arm-crank'; readonly solveFor: 'load'; readonly unit: 'W' | 'kgf.m/min' }
  | { readonly mode: 'step'; readonly solveFor: 'cycles'; /** m */ readonly height: number };

export interface PrescriptionRequest {
  /** 0 to 1, of heart-rate and oxygen-uptake reserve */
  readonly fraction: number;
  /** mL/kg/min */
  readonly vo2max: number;
  readonly maximalHeartRate: number;
  readonly restingHeartRate: number;
  readonly massKg: number;
  readonly ageYears?: number;
  readonly exercise: PrescribedMode;
  readonly minutesPerSession: number;
  readonly sessionsPerWeek: number;
  /** the participant's own stages, for the check; at least three with different uptakes */
  readonly ownStages?: readonly { readonly vo2: number; readonly heartRate: number }[];
}

export interface Prescription {
  readonly targetHeartRate: number;
  /** mL/kg/min */
  readonly targetVo2: number;
  readonly targetMets: number;
  /** the solved speed, grade, load or step rate, with its unit, warnings and worked line, or the refusal */
  readonly load: Evaluation;
  readonly kcalPerMinute: { readonly gross: number; readonly net: number };
  readonly kcalPerWeek: { readonly gross: number; readonly net: number };
  readonly metMinutesPerWeek: number;
  readonly classes: { readonly byReserve: IntensityClass; readonly byMets: IntensityClass };
  /** heart rate that the participant's own line gives at the target uptake, and how far the target is from it */
  readonly ownLine: { readonly heartRate: number; readonly difference: number } | undefined;
  readonly warnings: readonly string[];
}

/** The smallest difference between the two target heart rates that is worth a word, /min. */
const OWN_LINE_TOLERANCE = 10;

/**
 * Works a prescription out. Refuses numbers that cannot stand together; a load that the inverse equation refuses is returned as
 * its refusal, with the rest of the prescription intact.
 */
export function prescribe(
  request: PrescriptionRequest,
):
  | { readonly ok: true; readonly value: Prescription }
  | { readonly ok: false; readonly error: { readonly code: string; readonly message: string } } {
  const heart = evaluate(hrReserveTarget, {
    fraction: { value: request.fraction },
    maximalHeartRate: { value: request.maximalHeartRate },
    restingHeartRate: { value: request.restingHeartRate },
  });
  if (!heart.ok) return heart;
  const uptake = evaluate(vo2ReserveTarget, { fraction: { value: request.fraction }, vo2max: { value: request.vo2max } });
  if (!uptake.ok) return uptake;
  if (!(request.massKg > 0) || !(request.minutesPerSession >= 0) || !(request.sessionsPerWeek >= 0)) {
    return { ok: false, error: { code: 'out-of-range', message: 'Body mass, minutes and sessions must be known and not negative.' } };
  }
  const targetVo2 = uptake.value;
  const targetMets = targetVo2 / VO2_PER_MET;
  const perMinute = (vo2: number) => (5 * vo2 * request.massKg) / 1000;
  const gross = perMinute(targetVo2);
  const net = perMinute(targetVo2 - VO2_PER_MET);
  const minutes = request.minutesPerSession * request.sessionsPerWeek;
  const load = solveLoad(request, targetVo2);
  const ownLine = readOwnLine(request.ownStages, targetVo2, heart.value);
  const warnings = [...heart.warnings, ...uptake.warnings, ...(load.ok ? load.warnings : [])];
  if (ownLine && Math.abs(ownLine.difference) > OWN_LINE_TOLERANCE) {
    warnings.push(
      `The participant’s own stages give ${Math.round(ownLine.heartRate)} /min at this uptake, ${Math.round(Math.abs(ownLine.difference))} from the target; go by the own line.`,
    );
  }
  return {
    ok: true,
    value: {
      targetHeartRate: heart.value,
      targetVo2,
      targetMets,
      load,
      kcalPerMinute: { gross, net },
      kcalPerWeek: { gross: gross * minutes, net: net * minutes },
      metMinutesPerWeek: targetMets * minutes,
      classes: {
        byReserve: intensityClassOf('heart-rate-reserve', request.fraction * 100),
        byMets: intensityClassOfMets(targetMets, request.ageYears),
      },
      ownLine,
      warnings,
    },
  };
}

function solveLoad(request: PrescriptionRequest, targetVo2: number): Evaluation {
  const { exercise } = request;
  const output = { value: targetVo2 };
  switch (exercise.mode) {
    case 'walk':
    case 'run': {
      const formula = exercise.mode === 'walk' ? walkVo2Acsm : runVo2Acsm;
      return exercise.solveFor === 'speed'
        ? evaluate(formula, { output, grade: { value: exercise.grade } }, { solveFor: 'speed' })
        : evaluate(formula, { output, speed: { value: exercise.speed } }, { solveFor: 'grade' });
    }
    case 'leg-cycle':
    case 'arm-crank': {
      const formula = exercise.mode === 'leg-cycle' ? legVo2Acsm : armVo2Acsm;
      return evaluate(formula, { output, mass: { value: request.massKg } }, { solveFor: 'load', unit: exercise.unit });
    }
    case 'step':
      return evaluate(stepVo2Acsm, { output, height: { value: exercise.height } }, { solveFor: 'cycles' });
  }
}

/** Heart rate at an uptake by the least-squares line through the participant's own stages. */
function readOwnLine(stages: PrescriptionRequest['ownStages'], targetVo2: number, target: number): Prescription['ownLine'] {
  if (!stages || stages.length < 3) return undefined;
  const mx = stages.reduce((total, s) => total + s.vo2, 0) / stages.length;
  const my = stages.reduce((total, s) => total + s.heartRate, 0) / stages.length;
  let sxx = 0;
  let sxy = 0;
  for (const stage of stages) {
    sxx += (stage.vo2 - mx) ** 2;
    sxy += (stage.vo2 - mx) * (stage.heartRate - my);
  }
  if (!(sxx > 0)) return undefined;
  const heartRate = my + (sxy / sxx) * (targetVo2 - mx);
  return Number.isFinite(heartRate) ? { heartRate, difference: target - heartRate } : undefined;
}
