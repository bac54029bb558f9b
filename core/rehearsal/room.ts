/** The laboratory on the day of a seed: an ordinary room, made for this program. */
import { normal } from './chance.ts';

export interface Room {
  /** °C, to a tenth. */
  readonly temperature: number;
  /** mmHg, whole. */
  readonly pressure: number;
  /** %, whole. */
  readonly humidity: number;
}

/** Rounded as it is written on the sheet, so that what is worked out from the sheet is worked out from the same room. */
export function roomOn(seed: number): Room {
  return {
    temperature: Math.round(214 + 5 * normal(seed, 'room/temperature')) / 10,
    pressure: Math.round(752 + 4 * normal(seed, 'room/pressure')),
    humidity: Math.round(44 + 4 * normal(seed, 'room/humidity')),
  };
}
