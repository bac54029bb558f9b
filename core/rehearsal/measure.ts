/** What a counted pulse, a cuff, a pointed finger and an analyser would give: the body's values with the noise of measurement. */
import { bagContent } from './bag.ts';
import type { ReadingQuantity } from '../vocabulary.ts';
import { readingQuantities } from '../vocabulary.ts';
import { readingLimits } from '../session/plausible.ts';
import { normal } from './chance.ts';
import { constants } from './constants.ts';
import type { Body } from './physiology.ts';
import { roomOn } from './room.ts';

/** The gases of a reading are the mean over this time before its moment (lab sheet: "mean of the last 30 s"). */
const GAS_MEAN = 30_000;
const GAS_STEP = 5_000;

/** The gas in a collection bag has come to about room temperature, °C. Made for this program. */
const BAG_TEMPERATURE = 22;

/** A pulse counted by hand for 15 s comes in steps of 4 /min: four quarters make the minute. */
export const COUNTED_STEP = 4;

/**
 * One reading, as a number ready to be written, in the quantity's own unit.
 * @param at session time in ms: the moment of the reading; for gases the end of the mean.
 * @param counted heart rate only: counted by hand for 15 s.
 */
export function measure(body: Body, seed: number, quantity: ReadingQuantity, at: number, counted = false): number {
  const noise = (what: string): number => body.participant.noise * normal(seed, what, at);
  const [low, high] = readingLimits[quantity].hard;
  const held = (value: number): number => Math.max(low, Math.min(high, value));
  switch (quantity) {
    case 'heart-rate': {
      const value = body.heartRate(at) + constants.heartNoise.value * noise('heart-rate');
      return held(counted ? COUNTED_STEP * Math.round(value / COUNTED_STEP) : Math.round(value));
    }
    case 'systolic':
      return held(cuff(body.systolic(at) + constants.cuffNoise.value * noise('systolic')));
    case 'diastolic': {
      const systolic = measure(body, seed, 'systolic', at);
      // It can never be read within 10 mmHg of the systolic value.
      return held(Math.min(systolic - 14, cuff(body.diastolic(at) + constants.cuffNoise.value * noise('diastolic'))));
    }
    case 'rpe':
      return held(Math.round(body.rpe(at) + 0.4 * noise('rpe')));
    // A count over 15 s, the usual one after a step test.
    case 'pulse-count':
      return held(Math.round(body.heartRate(at) / 4));
    case 'bag-time':
      return 60;
    case 'bag-temperature':
      return BAG_TEMPERATURE;
    case 'bag-volume':
    case 'feo2':
    case 'feco2': {
      const gas = (of: 've' | 'vo2' | 'vco2'): number => gasReading(body, seed, of, at);
      const content = bagContent(gas('ve'), gas('vo2'), gas('vco2'), roomOn(seed).pressure, BAG_TEMPERATURE);
      return held(quantity === 'bag-volume' ? content.volume : content[quantity]);
    }
    default:
      return held(gasReading(body, seed, quantity, at));
  }
}

/** A reading as text, with the quantity's usual decimals. */
export function typedReading(body: Body, seed: number, quantity: ReadingQuantity, at: number, counted = false): string {
  return measure(body, seed, quantity, at, counted).toFixed(readingQuantities[quantity].decimals);
}

const cuff = (value: number): number => constants.cuffStep.value * Math.round(value / constants.cuffStep.value);

/** The mean of many breaths is as noisy as one breath divided by the square root of their number. */
function gasReading(body: Body, seed: number, quantity: 'vo2' | 'vco2' | 'rer' | 've', at: number): number {
  const mean = (value: (moment: number) => number): number => {
    let sum = 0;
    let count = 0;
    for (let moment = at - GAS_MEAN; moment <= at; moment += GAS_STEP, count += 1) sum += value(moment);
    return sum / count;
  };
  const breaths = (mean((moment) => body.breathing(moment).rate) * GAS_MEAN) / 60_000;
  const size = body.participant.noise / Math.sqrt(breaths);
  // One depth of breath moves all three; a smaller part is each one's own.
  const joint = normal(seed, 'gas/shared', at);
  const own = (what: string): number => Math.sqrt(constants.breathNoiseShared.value) * joint + Math.sqrt(1 - constants.breathNoiseShared.value) * normal(seed, `gas/${what}`, at);
  const vo2 = mean(body.vo2);
  // At rest the noise is kept within a tenth of the value, so that a resting mean stays one.
  const kept = (value: number, noise: number): number => value + Math.max(-0.1 * value, Math.min(0.1 * value, noise));
  const oxygen = kept(vo2, constants.breathNoise.value * size * own('vo2'));
  const carbonDioxide = kept(mean(body.vco2), constants.breathNoise.value * size * own('vco2'));
  if (quantity === 'vo2') return oxygen;
  if (quantity === 'vco2') return carbonDioxide;
  if (quantity === 'rer') return carbonDioxide / oxygen;
  return kept(mean(body.ve), constants.breathNoiseVentilation.value * size * own('ve'));
}
