/** One bag of expired air worked through by hand, with every step kept: the sheet that a student fills. */
import { inspiredPerExpired, inspiredSets, outputOf, uptakeOf, type InspiredSet } from './gas-exchange.ts';
import { btpsFactorOf, stpdFactorOf } from './gas-volumes.ts';
import { VAPOUR_PRESSURE_BODY, vapourFromTable } from './vapour-pressure.ts';

export interface BagReadings {
  /** L, saturated at the temperature of the bag (ATPS) */
  readonly volume: number;
  /** min */
  readonly minutes: number;
  /** °C, 15 to 40 */
  readonly temperature: number;
  /** mmHg */
  readonly pressure: number;
  /** fraction of dry gas */
  readonly feo2: number;
  /** fraction of dry gas */
  readonly feco2: number;
  /** kg; without it nothing per kilogram */
  readonly massKg?: number;
  readonly inspired?: InspiredSet;
}

export interface BagResult {
  readonly vapourPressure: number;
  readonly stpdFactor: number;
  readonly btpsFactor: number;
  readonly veAtps: number;
  readonly veStpd: number;
  readonly veBtps: number;
  readonly fen2: number;
  readonly vi: number;
  readonly vo2: number;
  readonly vco2: number;
  readonly rer: number;
  readonly trueOxygen: number;
  readonly veVo2: number;
  readonly veVco2: number;
  readonly vo2PerKg: number | undefined;
  readonly mets: number | undefined;
  /** what the constants were, to be printed beside the result */
  readonly constants: {
    readonly fio2: number;
    readonly fico2: number;
    readonly fin2: number;
    readonly kelvin: 273.15;
    readonly vapourPressureBody: number;
  };
}

/** Every step from the bag to oxygen uptake; refuses readings with which the chain has no meaning. */
export function workThroughBag(
  readings: BagReadings,
):
  | { readonly ok: true; readonly value: BagResult }
  | { readonly ok: false; readonly error: { readonly code: 'out-of-range'; readonly message: string } } {
  const refuse = (message: string) => ({ ok: false, error: { code: 'out-of-range', message } }) as const;
  const { volume, minutes, temperature, pressure, feo2, feco2, massKg, inspired = 'textbook' } = readings;
  if (![volume, minutes, temperature, pressure, feo2, feco2].every(Number.isFinite)) return refuse('A reading of the bag is missing.');
  if (volume <= 0 || minutes <= 0) return refuse('Volume and time of the collection must be above zero.');
  const vapour = vapourFromTable(temperature);
  if (!Number.isFinite(vapour)) return refuse('The bag temperature must lie between 15 and 40 °C, the span of the vapour-pressure table.');
  if (pressure < 400 || pressure > 850) return refuse('The barometric pressure must lie between 400 and 850 mmHg.');
  if (feo2 <= 0.1 || feo2 >= 0.2095) return refuse('The expired O₂ must lie between 10 and 20.95 %, as a fraction 0.10 to 0.2095.');
  if (feco2 < 0.0003 || feco2 > 0.12) return refuse('The expired CO₂ must lie between 0.03 and 12 %, as a fraction 0.0003 to 0.12.');
  if (massKg !== undefined && !(massKg > 0)) return refuse('The body mass must be above zero.');

  const { fio2, fico2 } = inspiredSets[inspired];
  const stpd = stpdFactorOf(pressure, temperature);
  const btps = btpsFactorOf(pressure, temperature);
  const veAtps = volume / minutes;
  const veStpd = veAtps * stpd;
  const veBtps = veAtps * btps;
  const air = { feo2, feco2, inspired, ve: veStpd };
  const vo2 = uptakeOf(air);
  const vco2 = outputOf(air);
  if (!(vo2 > 0)) return refuse('These fractions give no oxygen uptake; check the two analysers.');
  const vo2PerKg = massKg === undefined ? undefined : (1000 * vo2) / massKg;
  return {
    ok: true,
    value: {
      vapourPressure: vapour,
      stpdFactor: stpd,
      btpsFactor: btps,
      veAtps,
      veStpd,
      veBtps,
      fen2: 1 - feo2 - feco2,
      vi: veStpd * inspiredPerExpired(air),
      vo2,
      vco2,
      rer: vco2 / vo2,
      trueOxygen: (100 * vo2) / veStpd,
      veVo2: veBtps / vo2,
      veVco2: veBtps / vco2,
      vo2PerKg,
      mets: vo2PerKg === undefined ? undefined : vo2PerKg / 3.5,
      constants: { fio2, fico2, fin2: 1 - fio2 - fico2, kelvin: 273.15, vapourPressureBody: VAPOUR_PRESSURE_BODY },
    },
  };
}
