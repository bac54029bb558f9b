/** Gas volumes from the state in which a file gives them to the one in which they are kept. */
import { BODY_KELVIN, KELVIN } from '../formulas/gas-volumes.ts';
import { VAPOUR_PRESSURE_BODY, vapourFromTable } from '../formulas/vapour-pressure.ts';
import type { GasCondition } from './quantities.ts';

/** Room air at the time of the test. */
export interface Room {
  /** Barometric pressure, mmHg, 400 to 850. */
  readonly pressure: number;
  /** °C, 15 to 40: the span of the vapour-pressure table. Needed for the ambient states only. */
  readonly temperature?: number;
}

/**
 * What to multiply a volume by: the same amount of dry gas before and after (gas laws; 273.15 K, 47.067 mmHg at 37 °C).
 * @returns undefined when the room's pressure or temperature is needed and not known.
 */
export function conditionFactor(from: GasCondition, to: GasCondition, room: Room | undefined): number | undefined {
  if (from === to) return 1;
  const before = dryPressurePerKelvin(from, room);
  const after = dryPressurePerKelvin(to, room);
  return before === undefined || after === undefined ? undefined : before / after;
}

function dryPressurePerKelvin(state: GasCondition, room: Room | undefined): number | undefined {
  if (state === 'STPD') return 760 / KELVIN;
  if (room === undefined || !(room.pressure >= 400 && room.pressure <= 850)) return undefined;
  if (state === 'BTPS') return (room.pressure - VAPOUR_PRESSURE_BODY) / BODY_KELVIN;
  const { temperature } = room;
  if (temperature === undefined || !(temperature >= 15 && temperature <= 40)) return undefined;
  const vapour = state === 'ATPS' ? vapourFromTable(temperature) : 0;
  return (room.pressure - vapour) / (KELVIN + temperature);
}
