/** How carbon dioxide output, ventilation and the pattern of breathing go with oxygen uptake in one participant. */
import { constants } from './constants.ts';
import type { Participant } from './participant.ts';

/** L/min throughout; ventilation BTPS. */
export interface GasMap {
  /** Carbon dioxide output at steady state for an oxygen uptake: two straight lines that meet at the first threshold. */
  vco2(vo2: number): number;
  /** Ventilation for a carbon dioxide output: one straight line, steeper above the second threshold. */
  ve(vco2: number): number;
  /** Breaths a minute and litres a breath for a ventilation. */
  breathing(ve: number): { readonly rate: number; readonly tidal: number };
  /** Oxygen uptake at the first and second threshold and at maximum. */
  readonly first: number;
  readonly second: number;
  readonly maximum: number;
  /** Slopes of carbon dioxide output on oxygen uptake below and above the first threshold. */
  readonly slopes: { readonly below: number; readonly above: number };
}

/**
 * The lower slope is near 1 (V-slope method, Beaver 1986); the upper one is whatever brings the participant's own respiratory
 * exchange ratio at maximum. Ventilation over carbon dioxide output is lowest at the second threshold, where it equals
 * 27.94 + 0.108·age + 0.97 (women) − 0.0376·cm (Sun XG et al. Am J Respir Crit Care Med 2002;166:1443, 474 healthy adults).
 * Tidal volume rises towards its maximum and breathing rate takes over; the curve is made for this program, its ends are set by
 * 42 to 51 breaths a minute at exhaustion (Exp Physiol 1999, slow and fast ramps in seven young men, abstract).
 */
export function gasMap(participant: Participant): GasMap {
  const { mass, vo2max, thresholds, peakRer, age, height, sex } = participant;
  const litres = (perKilogram: number): number => (perKilogram * mass) / 1000;
  const resting = litres(constants.restingVo2.value);
  const restingOut = resting * constants.restingRer.value;
  const maximum = litres(vo2max);
  const first = thresholds.first * maximum;
  const second = thresholds.second * maximum;
  const below = constants.slopeBelowThreshold.value;
  const atFirst = restingOut + below * (first - resting);
  const above = (peakRer * maximum - atFirst) / (maximum - first);
  const vco2 = (vo2: number): number => (vo2 <= first ? Math.max(0.5 * restingOut, restingOut + below * (vo2 - resting)) : atFirst + above * (vo2 - first));

  const atSecond = vco2(second);
  const lowest = 27.94 + 0.108 * age + (sex === 'female' ? 0.97 : 0) - 0.0376 * height;
  const intercept = constants.ventilationIntercept.value;
  const slope = lowest - intercept / atSecond;
  const ve = (output: number): number => intercept + slope * output + (output > atSecond ? constants.compensation.value * slope * (output - atSecond) : 0);

  const least = constants.restingTidal.value;
  const quiet = ve(restingOut);
  // The rise is slower in a larger chest: 25 L/min for a tidal volume of 2.6 L. Made for this program.
  const scale = (25 * participant.tidalMax) / 2.6;
  const breathing = (amount: number): { rate: number; tidal: number } => {
    const tidal = least + (participant.tidalMax - least) * Math.max(0, 1 - Math.exp(-(amount - quiet) / scale));
    return { rate: amount / tidal, tidal };
  };
  return { vco2, ve, breathing, first, second, maximum, slopes: { below, above } };
}
