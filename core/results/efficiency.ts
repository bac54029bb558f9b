/** Efficiency of cycling from bags: external work as a part of the energy spent, gross, net of rest, and between the loads. */
import { evaluate, type GivenValue } from '../formulas/evaluate.ts';
import { formulaById } from '../formulas/registry.ts';
import type { BagResult } from './bag.ts';
import type { StageResult } from './stages.ts';

export interface Efficiency {
  readonly stage: number;
  /** W. */
  readonly load: number;
  /** kcal/min. */
  readonly energy: number;
  /** Per cent. */
  readonly gross?: number;
  readonly net?: number;
  readonly working: readonly string[];
  readonly warnings: readonly string[];
  /** Why one of the two is missing. */
  readonly why?: string;
}

export interface Efficiencies {
  /** Energy at rest, kcal/min. */
  readonly resting?: number;
  readonly loads: readonly Efficiency[];
  /** Between the lowest and the highest load, per cent. */
  readonly delta?: { readonly from: number; readonly to: number; readonly value: number; readonly working: string };
  readonly source: string;
}

/** Undefined where no finished stage has both a load and the energy of a bag. */
export function efficienciesOf(stages: readonly StageResult[], bags: readonly BagResult[]): Efficiencies | undefined {
  const resting = bags.find((bag) => bag.stage === undefined)?.energy;
  const known = stages.flatMap((row) => {
    const energy = bags.find((bag) => bag.stage === row.stage.number)?.energy;
    return row.stage.completed && row.load !== undefined && row.load > 0 && energy !== undefined ? [{ stage: row.stage.number, load: row.load, energy }] : [];
  });
  if (known.length === 0) return undefined;
  const loads = known.map((one): Efficiency => {
    const given = { load: { value: one.load, unit: 'W' as const }, energy: { value: one.energy } };
    const gross = work('efficiency-gross', given);
    const net = resting === undefined ? { refused: 'energy at rest is not known' } : work('efficiency-net', { ...given, resting: { value: resting } });
    const why = [gross, net].find((done) => done.refused !== undefined)?.refused;
    return {
      ...one,
      ...(gross.value === undefined ? {} : { gross: gross.value }),
      ...(net.value === undefined ? {} : { net: net.value }),
      working: [gross, net].flatMap((done) => (done.working === undefined ? [] : [done.working])),
      warnings: [...new Set([gross, net].flatMap((done) => done.warnings ?? []))],
      ...(why === undefined ? {} : { why }),
    };
  });
  const [low, high] = [known.reduce((a, b) => (b.load < a.load ? b : a)), known.reduce((a, b) => (b.load > a.load ? b : a))];
  const delta = low === high ? undefined : work('efficiency-delta', { loadFirst: { value: low.load }, energyFirst: { value: low.energy }, loadSecond: { value: high.load }, energySecond: { value: high.energy } });
  return {
    ...(resting === undefined ? {} : { resting }),
    loads,
    ...(delta?.value === undefined || delta.working === undefined ? {} : { delta: { from: low?.stage ?? 0, to: high?.stage ?? 0, value: delta.value, working: delta.working } }),
    source: formulaById('efficiency-delta')?.source.citation ?? '',
  };
}

interface Worked {
  readonly value?: number;
  readonly working?: string;
  readonly warnings?: readonly string[];
  readonly refused?: string;
}

function work(id: string, given: Readonly<Record<string, GivenValue>>): Worked {
  const formula = formulaById(id);
  const done = formula && evaluate(formula, given);
  if (!done) return { refused: `this program has no formula "${id}"` };
  return done.ok ? { value: done.value, working: done.working, warnings: done.warnings } : { refused: done.error.message };
}
