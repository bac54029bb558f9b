/** The gas exchange files of a session, and the thresholds that people placed: their part of the fold and of the rules. */
import { failure, type Result } from '../result.ts';
import type { SessionDraft, SessionEvent } from './events.ts';

export interface AttachedSeries {
  readonly seq: number;
  readonly author: string;
  readonly taken: number;
  readonly name: string;
  readonly hash: string;
  readonly rows: number;
  readonly perBreath: boolean;
  /** Session time at the file's time 0, ms. */
  readonly offset: number;
  readonly aligned: 'event' | 'typed';
  readonly mapping: unknown;
}

export interface PlacedThreshold {
  readonly seq: number;
  readonly author: string;
  readonly taken: number;
  readonly threshold: 'vt1' | 'vt2';
  readonly method: 'v-slope' | 'equivalents';
  /** L/min. */
  readonly vo2: number;
  readonly note?: string;
}

export interface SeriesFacts {
  /** Joined files that stand, the latest last; the last one counts. */
  readonly series: readonly AttachedSeries[];
  /** Placed thresholds that stand, the latest last. */
  readonly placedThresholds: readonly PlacedThreshold[];
}

/** @param events of the session, in order; @param struck whether an event was taken back. */
export function gatherSeries(events: readonly SessionEvent[], struck: (seq: number) => boolean): SeriesFacts {
  const series: AttachedSeries[] = [];
  const placedThresholds: PlacedThreshold[] = [];
  for (const event of events) {
    if (struck(event.seq)) continue;
    const { seq, author, taken } = event;
    if (event.kind === 'series-attached') series.push({ seq, author, taken, ...event.data });
    else if (event.kind === 'threshold-placed') {
      const { note, ...data } = event.data;
      placedThresholds.push({ seq, author, taken, ...data, ...(note === undefined ? {} : { note }) });
    }
  }
  return { series, placedThresholds };
}

/**
 * What may still be added to a closed session: an analyser's file is often exported when the participant has gone. It changes
 * no reading; the station signs the record anew.
 */
export function isAddendum(facts: SeriesFacts, draft: { readonly kind: string; readonly data: unknown }): boolean {
  if (draft.kind === 'series-attached' || draft.kind === 'threshold-placed') return true;
  if (draft.kind !== 'event-struck') return false;
  const target = (draft.data as { readonly target?: unknown } | null)?.target;
  return [...facts.series, ...facts.placedThresholds].some(({ seq }) => seq === target);
}

/** Why a file or a threshold cannot be taken in now; undefined where it can. */
export function refuseSeries(state: SeriesFacts & { readonly starts: { readonly exercise?: number } }, draft: SessionDraft): Result<never> | undefined {
  if (draft.kind === 'series-attached' && state.starts.exercise === undefined)
    return failure('wrong-phase', 'A gas exchange file is joined once exercise has begun. The file was left where it is.');
  if (draft.kind === 'threshold-placed' && state.series.length === 0)
    return failure('no-series', 'A threshold is placed on a gas exchange file. Join one to the session first.');
  return undefined;
}
