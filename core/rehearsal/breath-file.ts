/**
 * The analyser of a rehearsal: the breaths of the simulated participant in the very session that was rehearsed, as a text file
 * with columns that the import step has to be told about like any other. Its clock starts with Rest, not with the session's, as a
 * real analyser's does; the start of exercise is marked in it.
 */
import { formatClock } from '../clock-text.ts';
import { alignByEvent, applyMapping, guessMapping, importOptions, keepSeries, readGasTable } from '../gas/gas.ts';
import { failure, success, type Result } from '../result.ts';
import type { SessionDraft } from '../session/events.ts';
import type { SessionState } from '../session/state.ts';
import type { LabSheet } from '../sheet/schema.ts';
import { bodyAt } from './actions.ts';
import { breathsOfBody } from './breaths.ts';
import { castOf } from './driver.ts';

export interface BreathFile {
  readonly name: string;
  readonly text: string;
  /** Session time at the file's time 0, ms: what a careful alignment finds. */
  readonly offset: number;
}

/** How long the analyser goes on after the stop, ms; made for this program. */
const AFTER = 120_000;

/**
 * @param now session time, ms: no breath after it is in the file.
 * @param noise of the breaths, as in `breaths.ts`: 1 as there, 0 none.
 * @returns failure `no-breaths` for a session that is no rehearsal, or has not exercised.
 */
export function rehearsedBreathFile(state: SessionState, now: number, noise = 1): Result<BreathFile> {
  const cast = castOf(state);
  const { rest, exercise } = state.starts;
  if (!cast || exercise === undefined) return failure('no-breaths', 'Only a rehearsal that has begun to exercise has a simulated breath file.');
  const offset = rest ?? exercise;
  const ends = Math.min(now, state.stop === undefined ? now : state.stop.taken + AFTER);
  const body = bodyAt(state, cast);
  const breaths = breathsOfBody(body, cast.seed, { from: offset / 1000, to: ends / 1000, noise });
  if (breaths.length < 20) return failure('no-breaths', 'Too few breaths have been taken so far. Try again in a minute.');
  const loadAt = (moment: number): string => {
    if (moment < exercise || (state.stop !== undefined && moment > state.stop.taken)) return '0';
    return String(Math.round(state.stages.findLast((stage) => stage.changed <= moment)?.actual.load?.value ?? 0));
  };
  const withLoad = state.sheet.mode === 'cycle' || state.sheet.mode === 'arm-crank';
  let marked = false;
  const rows = breaths.map((breath) => {
    const moment = breath.time * 1000;
    const first = !marked && moment >= exercise;
    if (first) marked = true;
    const time = formatClock(Math.floor((moment - offset) / 1000) * 1000);
    return [
      `${time}.${Math.floor(((moment - offset) % 1000) / 100)}`, (1000 * breath.vo2).toFixed(0), (1000 * breath.vco2).toFixed(0), breath.ve.toFixed(1), breath.rate.toFixed(1), breath.tidal.toFixed(2), String(breath.heartRate),
      ...(withLoad ? [loadAt(moment)] : []), first ? 'start of exercise' : '',
    ].join(';');
  });
  const head = ['Time', 'VO2', 'VCO2', 'VE', 'Breathing rate', 'Tidal volume', 'Heart rate', ...(withLoad ? ['Load'] : []), 'Marker'];
  const units = ['min:s', 'mL/min', 'mL/min', 'L/min', '1/min', 'L', '1/min', ...(withLoad ? ['W'] : []), ''];
  const preamble = ['Simulated analyser of a rehearsal;not a test', 'Breath by breath'];
  return success({ name: 'simulated-breaths.txt', text: `${[...preamble, '', head.join(';'), units.join(';'), ...rows].join('\n')}\n`, offset });
}

/** Whether a sheet asks for what only a breath file gives. */
export function asksForBreaths(sheet: LabSheet): boolean {
  return /"(?:threshold|gas)\./.test(JSON.stringify(sheet.questions));
}

export interface JoinedBreaths {
  /** What is kept beside the record. */
  readonly text: string;
  /** @param hash of the kept text. */
  draft(hash: string): SessionDraft;
}

/** The simulated file joined as the pair does it: mapped as it is understood, aligned by the mark at the start of exercise. */
export function joinRehearsedBreaths(state: SessionState, now: number): Result<JoinedBreaths> {
  const file = rehearsedBreathFile(state, now);
  if (!file.ok) return file;
  const table = readGasTable(file.value.text);
  if (!table.ok) return table;
  const { mapping } = guessMapping(table.value);
  const series = applyMapping(table.value, mapping, importOptions(state));
  if (!series.ok) return series;
  const kept = keepSeries(table.value, mapping);
  if (!kept.ok) return kept;
  const mark = series.value.markers[0]?.time ?? 0;
  const { offset } = alignByEvent('start of exercise', mark, state.starts.exercise ?? 0);
  const { length: rows } = series.value;
  const { name } = file.value;
  return success({
    text: kept.value.text,
    draft: (hash) => ({ kind: 'series-attached', data: { name, hash, rows, perBreath: true, offset: Math.round(offset), aligned: 'event', mapping: kept.value.mapping } }),
  });
}
