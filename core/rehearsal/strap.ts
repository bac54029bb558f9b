/**
 * The strap that the simulated participant wears: a packet a second, as a real one sends. Where this participant's strap gives
 * trouble it first loses the skin and then falls silent until the next stage, so that the pair has to count the pulse.
 */
import type { SessionState } from '../session/state.ts';
import type { StrapSample } from '../strap/window.ts';
import { bodyAt } from './actions.ts';
import { castOf } from './driver.ts';
import { measure } from './measure.ts';

/** A packet a second, ms: common practice. */
const EVERY = 1_000;
/** From the change to the stage in which it gives trouble: when it loses the skin, and when nothing comes any more. Made for this program. */
const LOSES_SKIN = 20_000;
const FALLS_SILENT = 40_000;

/**
 * What came of the strap in the last stretch of session time.
 * @param length how far back, ms; @param now session time.
 * @returns nothing for a session that is no rehearsal, before Rest, or with a participant who is not known.
 */
export function strapOfRehearsal(state: SessionState, now: number, length: number): readonly StrapSample[] {
  const cast = castOf(state);
  const begins = state.starts.rest;
  if (!cast || begins === undefined || state.phase === 'worksheet') return [];
  const body = bodyAt(state, cast);
  const samples: StrapSample[] = [];
  for (let at = Math.max(Math.ceil(begins / EVERY), Math.ceil((now - length) / EVERY)) * EVERY; at <= now; at += EVERY) {
    const trouble = troubleAt(state, cast.participant.strapDrops, at);
    if (trouble === 'silent') continue;
    const heartRate = measure(body, cast.seed, 'heart-rate', at);
    samples.push({ at, packet: trouble === 'no-skin' ? { heartRate: 0, contact: 'lost', intervals: [] } : { heartRate, contact: 'good', intervals: [60_000 / heartRate] } });
  }
  return samples;
}

function troubleAt(state: SessionState, drops: number | undefined, at: number): 'no-skin' | 'silent' | undefined {
  const stage = state.stages.findLast(({ changed }) => changed <= at);
  if (drops === undefined || stage?.number !== drops || (state.starts.recovery !== undefined && at >= state.starts.recovery)) return undefined;
  const since = at - stage.changed;
  return since < LOSES_SKIN ? undefined : since < FALLS_SILENT ? 'no-skin' : 'silent';
}
