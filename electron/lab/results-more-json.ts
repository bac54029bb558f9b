/** The results of submaximal and bag sheets as data. Numbers are not rounded; what is not known is null, with a reason beside it. */
import { inspiredSets, type InspiredSet } from '../../core/formulas/gas-exchange.ts';
import type { BagResult } from '../../core/results/bag.ts';
import type { Efficiencies } from '../../core/results/efficiency.ts';
import type { LineResult } from '../../core/results/line.ts';

const orNull = <Value>(value: Value | undefined): Value | null => value ?? null;

export function lineJson(line: LineResult): object {
  return {
    points: line.points.map(({ stage, heartRate, uptake, enters, why }) => ({ stage, heartRate, mlPerKgPerMinute: uptake, enters, reason: orNull(why) })),
    firstStage: orNull(line.first?.stage),
    secondStage: orNull(line.second?.stage),
    slope: orNull(line.slope),
    intercept: orNull(line.intercept),
    maximalHeartRate: orNull(line.maximalHeartRate),
    vo2max: orNull(line.vo2max),
    perTenBeats: orNull(line.perTenBeats),
    working: orNull(line.working),
    reason: orNull(line.reason),
    source: line.source,
  };
}

export function bagJson(bag: BagResult, inspired: InspiredSet = 'textbook'): object {
  return {
    stage: orNull(bag.stage),
    inspired: inspiredSets[inspired],
    read: bag.inputs.map(([name, value, unit]) => ({ name, value: orNull(value), unit })),
    steps: bag.steps.map(({ id, label, value, unit, working, source }) => ({ id, label, value, unit, working, source })),
    reason: orNull(bag.reason),
    warnings: bag.warnings,
  };
}

export function efficiencyJson(efficiency: Efficiencies): object {
  return {
    restingKcalPerMinute: orNull(efficiency.resting),
    loads: efficiency.loads.map(({ stage, load, energy, gross, net, working, warnings, why }) => ({ stage, loadWatts: load, kcalPerMinute: energy, grossPercent: orNull(gross), netPercent: orNull(net), working, warnings, reason: orNull(why) })),
    delta: efficiency.delta ? { fromStage: efficiency.delta.from, toStage: efficiency.delta.to, percent: efficiency.delta.value, working: efficiency.delta.working } : null,
    source: efficiency.source,
  };
}
