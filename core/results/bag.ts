/** Bag analysis by hand: ventilation, expired fractions and the room → VO2, VCO2 and RER, with every step shown. */
import { evaluate, type GivenValue } from '../formulas/evaluate.ts';
import { formulaById } from '../formulas/registry.ts';
import type { SessionState } from '../session/state.ts';
import type { UnitCode } from '../units/units.ts';
import { bagQuantities, type ReadingQuantity } from '../vocabulary.ts';

export interface BagStep {
  readonly id: 'vapour-pressure' | 'factor' | 've-atps' | 've-stpd' | 've-btps' | 'vi' | 'vo2' | 'vco2' | 'rer' | 'energy' | 'carbohydrate' | 'fat';
  readonly label: string;
  readonly value: number;
  readonly unit: UnitCode;
  readonly working: string;
  readonly source: string;
}

/** Decimals that a bag is worked with by hand. */
export const bagDecimals: Readonly<Record<BagStep['id'], number>> = { 've-atps': 2, 'vapour-pressure': 2, factor: 4, 've-stpd': 2, 've-btps': 2, vi: 2, vo2: 3, vco2: 3, rer: 3, energy: 2, carbohydrate: 0, fat: 0 };

export interface BagResult {
  /** Undefined for the bag of Rest. */
  readonly stage?: number;
  readonly steps: readonly BagStep[];
  readonly inputs: readonly (readonly [name: string, value: number | undefined, unit: UnitCode])[];
  /** L/min STPD. */
  readonly vo2?: number;
  readonly vco2?: number;
  readonly rer?: number;
  /** L/min BTPS. */
  readonly ve?: number;
  /** kcal/min by the caloric equivalent of the RER; undefined where the RER is no measure of what is burnt. */
  readonly energy?: number;
  /** What to know about the numbers: an RER above 1, a temperature below the table. */
  readonly warnings: readonly string[];
  readonly reason?: string;
}

/** All bags of the session: one at rest, one a stage, where anything of a bag was written. */
export function bagResults(state: SessionState): readonly BagResult[] {
  if (!state.sheet.bag) return [];
  const places: { stage?: number; find: (quantity: ReadingQuantity) => number | undefined }[] = [
    { find: (quantity) => state.slots.get(`rest/rest/${quantity}`)?.current?.value },
    ...state.stages.map((stage) => ({
      stage: stage.number,
      find: (quantity: ReadingQuantity) => (state.slots.get(`exercise/s${stage.number}/end/${quantity}`) ?? state.slots.get(`exercise/s${stage.number}/stop/${quantity}`))?.current?.value,
    })),
  ];
  return places.filter((place) => bagQuantities.some((quantity) => place.find(quantity) !== undefined)).map((place) => analyse(state, place));
}

function analyse(state: SessionState, place: { readonly stage?: number; readonly find: (quantity: ReadingQuantity) => number | undefined }): BagResult {
  const read = Object.fromEntries(bagQuantities.map((quantity) => [quantity, place.find(quantity)])) as Partial<Record<ReadingQuantity, number>>;
  const temperature = read['bag-temperature'] ?? state.details.temperature?.value;
  const barometric = state.details.pressure?.value;
  const inputs = [
    ['volume', read['bag-volume'], 'L'],
    ['time', read['bag-time'], 's'],
    ['temperature', temperature, 'Cel'],
    ['pressure', barometric, 'mm[Hg]'],
    ['feo2', read.feo2, '%'],
    ['feco2', read.feco2, '%'],
  ] as const;
  const warnings: string[] = [];
  const shared = { ...(place.stage === undefined ? {} : { stage: place.stage }), inputs, warnings };
  const missing = inputs.filter(([, value]) => value === undefined).map(([name]) => ({ volume: 'bag volume', time: 'collection time', temperature: 'bag temperature', pressure: 'barometric pressure', feo2: 'expired oxygen', feco2: 'expired carbon dioxide' })[name]);
  if (missing.length > 0) return { ...shared, steps: [], reason: `${missing.join(', ')} not written down` };

  const steps: BagStep[] = [];
  const value = (id: BagStep['id']): number => steps.find((step) => step.id === id)?.value ?? NaN;
  let reason: string | undefined;
  const work = (id: BagStep['id'], label: string, formulaId: string, given: Record<string, GivenValue>): void => {
    if (reason !== undefined) return;
    const formula = formulaById(formulaId);
    const done = formula && evaluate(formula, given);
    if (!formula || !done?.ok) reason = done?.ok === false ? done.error.message : `this program has no formula "${formulaId}"`;
    else {
      steps.push({ id, label, value: done.value, unit: done.unit, working: done.working, source: formula.source.citation });
      warnings.push(...done.warnings);
    }
  };
  const room = { pressure: { value: barometric ?? 0 }, temperature: { value: temperature ?? 0 } };
  const air = { feo2: { value: read.feo2 ?? 0, unit: '%' as const }, feco2: { value: read.feco2 ?? 0, unit: '%' as const }, inspired: { value: state.sheet.bag?.inspired ?? 'textbook' } };
  // The order is that of the sum done by hand; each step looks at the ones before it.
  work('ve-atps', 'Ventilation as measured (ATPS)', 'ventilation-from-bag', { volume: { value: read['bag-volume'] ?? 0, unit: 'L' }, time: { value: read['bag-time'] ?? 0, unit: 's' } });
  work('vapour-pressure', 'Water-vapour pressure', 'vapour-pressure', { temperature: room.temperature });
  work('factor', 'STPD factor', 'stpd-factor', room);
  work('ve-stpd', 'Ventilation STPD', 've-stpd', { ve: { value: value('ve-atps') }, ...room });
  work('ve-btps', 'Ventilation BTPS', 've-btps', { ve: { value: value('ve-atps') }, ...room });
  const expired = { ve: { value: value('ve-stpd') }, ...air };
  work('vi', 'Inspired ventilation STPD', 'vi-haldane', expired);
  work('vo2', 'Oxygen uptake', 'vo2-haldane', expired);
  work('vco2', 'Carbon dioxide output', 'vco2-haldane', expired);
  work('rer', 'RER', 'rer', { vco2: { value: value('vco2') }, vo2: { value: value('vo2') } });
  if (reason !== undefined) return { ...shared, warnings: [...new Set(warnings)], steps, reason };
  const gas = { vo2: value('vo2'), vco2: value('vco2'), rer: value('rer'), ve: value('ve-btps') };
  const rq = { rq: { value: gas.rer } };
  work('energy', 'Energy by the caloric equivalent', 'energy-rate-by-rq', { vo2: { value: gas.vo2 }, ...rq });
  work('carbohydrate', 'Energy from carbohydrate', 'carbohydrate-share', rq);
  work('fat', 'Energy from fat', 'fat-share', rq);
  const energy = steps.find((step) => step.id === 'energy')?.value;
  // Gas exchange stands also where the RER is no measure of what is burnt; what is burnt is then left open.
  if (reason !== undefined) warnings.push(`Energy is not worked out: an RER of ${gas.rer.toFixed(2)} lies outside 0.70 to 1.00, where it stands for what is burnt.`);
  return { ...shared, warnings: [...new Set(warnings)], steps, ...gas, ...(energy === undefined ? {} : { energy }) };
}
