/** The gas exchange file in the results: empty places of the sheet filled from it, and its entries in the book. */
import { gasReadingsFor } from '../gas/stage-means.ts';
import { slotKey } from '../session/events.ts';
import type { Reading, SessionState, SlotState } from '../session/state.ts';
import { readingQuantities } from '../vocabulary.ts';
import type { Put } from './book-entries.ts';
import type { GasFindings, GasResult } from './gas.ts';

/**
 * The session with the file's means in the places for gas that nobody wrote a value in. The record itself is not touched: what
 * was written by a person stands, and these are worked out anew each time.
 * @returns the same state where nothing is to be filled.
 */
export function filledFromFile(state: SessionState, gas: GasResult | undefined): { readonly state: SessionState; readonly filled: number } {
  if (!gas?.found) return { state, filled: 0 };
  const { attached, found } = gas;
  const means = gasReadingsFor(state, found.series, found.alignment).filter((mean) => mean.full && mean.standing === undefined);
  if (means.length === 0) return { state, filled: 0 };
  const slots = new Map<string, SlotState>(state.slots);
  let filled = 0;
  for (const mean of means) {
    const key = slotKey(mean.slot);
    const slot = slots.get(key);
    const value = Number(mean.typed);
    if (!slot || slot.current || !Number.isFinite(value)) continue;
    const current: Reading = {
      typed: mean.typed, unit: readingQuantities[mean.slot.quantity].unit, value, author: attached.author, taken: mean.taken,
      entered: attached.taken, seq: attached.seq, source: 'file', note: mean.note, confirmed: false,
    };
    slots.set(key, { ...slot, readings: [...slot.readings, current], current });
    filled += 1;
  }
  return { state: { ...state, slots }, filled };
}

const NONE = 'no gas exchange file is joined to this session';

/** Puts what a gas exchange file gives into the book of values; without a file each entry says so. */
export function gasEntries(gas: GasResult | undefined, put: Put): void {
  const found = gas?.found;
  const why = gas === undefined ? NONE : (gas.reason ?? 'it could not be worked out');
  for (const [index, id] of (['vt1', 'vt2'] as const).entries()) {
    const threshold = found?.thresholds[index];
    const name = `Oxygen uptake at the ${id === 'vt1' ? 'first' : 'second'} ventilatory threshold`;
    const extra = threshold === undefined ? {} : { working: threshold.says, source: threshold.methods[threshold.automatic?.method ?? 'v-slope'].automatic.source.citation };
    put(`threshold.${id}`, name, threshold?.value, 'L/min', threshold ? `no threshold can be told from the file. ${threshold.says}` : why, extra);
    put(`threshold.${id}-placed`, `${name}, as placed by a person`, threshold?.placed?.vo2, 'L/min', threshold ? 'nobody placed it' : why);
    const at = threshold?.automatic?.finding.at;
    put(`threshold.${id}-heart-rate`, `Heart rate at the ${id === 'vt1' ? 'first' : 'second'} ventilatory threshold`, at?.heartRate, '/min', threshold ? 'the file has no heart rate there' : why);
    put(`threshold.${id}-load`, `Load at the ${id === 'vt1' ? 'first' : 'second'} ventilatory threshold`, at?.load, 'W', threshold ? 'the file has no load there' : why);
  }
  slopeEntries(found, why, put);
  put('gas.peak-vo2', 'Highest oxygen uptake of the file, 30-s means', found?.peak?.value, 'L/min', found ? 'no mean is filled by its rows' : why, found?.peak ? { working: found.peak.rule } : {});
  put('gas.peak-spread', 'How far the averaging moves the peak', found?.sensitivity.spread, 'L/min', found ? 'fewer than two rules can be used on this file' : why);
}

function slopeEntries(found: GasFindings | undefined, why: string, put: Put): void {
  const { ventilation, oues, lowestEquivalent } = found?.analysis.slopes ?? {};
  put('gas.ve-vco2-slope', 'VE/VCO₂ slope of the file', ventilation?.slope, '1', ventilation?.reason ?? why, ventilation ? { working: ventilation.reason, source: ventilation.source.citation } : {});
  put('gas.oues', 'Oxygen uptake efficiency slope of the file', oues?.slope, 'mL/min', oues?.reason ?? why, oues ? { working: oues.reason, source: oues.source.citation } : {});
  put('gas.lowest-ve-vco2', 'Lowest VE/VCO₂ of the file', lowestEquivalent?.value, '1', lowestEquivalent?.rule ?? why, lowestEquivalent ? { working: lowestEquivalent.rule, source: lowestEquivalent.source.citation } : {});
}
