/** Rules of submaximal tests: when a stage is steady, which stages enter the line, how the multistage line is drawn. */
import { vo2maxMultistage } from './vo2max-submaximal.ts';
import { evaluate, type Evaluation } from './evaluate.ts';
import type { Source } from './formula.ts';

export interface SteadyRule {
  /** /min by which the last two minutes may differ */
  readonly within: number;
  readonly source: Source;
}

export const steadyRules = {
  five: {
    within: 5,
    source: {
      citation: 'CSEP insert of the YMCA cycle test; Human Kinetics course page',
      provenance: 'P',
      note: '“more than 5” calls for another minute',
    },
  },
  six: { within: 6, source: { citation: 'NSCA’s Guide to Tests and Assessments (2012), citing ACSM 2010', provenance: 'P' } },
} as const satisfies Readonly<Record<string, SteadyRule>>;

/** True when the last two one-minute heart rates differ by no more than the rule allows. */
export function isSteady(previousMinute: number, lastMinute: number, rule: SteadyRule = steadyRules.five): boolean {
  return Math.abs(lastMinute - previousMinute) <= rule.within;
}

export interface SubmaximalStage {
  /** mL/kg/min, by the equation of the mode */
  readonly vo2: number;
  /** /min, the mean of the last two minutes */
  readonly heartRate: number;
}

export interface StageWindow {
  /** /min, included */
  readonly from: number;
  /** share of the predicted maximum, or a fixed rate, included */
  readonly to: { readonly shareOfMaximum: number } | { readonly heartRate: number };
  readonly source: Source;
}

export const stageWindows = {
  current: {
    from: 110,
    to: { shareOfMaximum: 0.85 },
    source: {
      citation: 'CSEP insert after Golding 1989; NSCA’s Guide (2012)',
      provenance: 'P',
      note: 'some texts begin at 115 [from memory]',
    },
  },
  older: { from: 110, to: { heartRate: 150 }, source: { citation: 'older YMCA sheets', provenance: 'P' } },
} as const satisfies Readonly<Record<string, StageWindow>>;

/** The stages whose heart rate lies in the window, in order. */
export function stagesInWindow<S extends SubmaximalStage>(
  stages: readonly S[],
  maximalHeartRate: number,
  window: StageWindow = stageWindows.current,
): readonly S[] {
  const upper = 'heartRate' in window.to ? window.to.heartRate : window.to.shareOfMaximum * maximalHeartRate;
  return stages.filter((stage) => stage.heartRate >= window.from && stage.heartRate <= upper);
}

/**
 * The multistage answer from whatever stages were done: the last two consecutive ones inside the window. A refusal says which
 * stage is missing.
 */
export function extrapolateStages(
  stages: readonly SubmaximalStage[],
  maximalHeartRate: number,
  window: StageWindow = stageWindows.current,
): Evaluation {
  const usable = new Set(stagesInWindow(stages, maximalHeartRate, window));
  for (let last = stages.length - 1; last > 0; last--) {
    const second = stages[last];
    const first = stages[last - 1];
    if (!first || !second || !usable.has(first) || !usable.has(second)) continue;
    return evaluate(vo2maxMultistage, {
      vo2First: { value: first.vo2 },
      heartRateFirst: { value: first.heartRate },
      vo2Second: { value: second.vo2 },
      heartRateSecond: { value: second.heartRate },
      maximalHeartRate: { value: maximalHeartRate },
    });
  }
  const upper = 'heartRate' in window.to ? `${window.to.heartRate} /min` : `${Math.round(window.to.shareOfMaximum * 100)} % of the maximum`;
  return {
    ok: false,
    error: {
      code: 'no-solution',
      message: `Two consecutive stages with heart rates from ${window.from} /min to ${upper} are needed; ${usable.size === 1 ? 'one stage lies' : `${usable.size} stages lie`} there.`,
    },
  };
}
