/** The live sheet's pure parts over real states: what the line understands, what is asked, undone and called. */
import { describe, expect, it } from 'vitest';
import { parseClock } from '../../core/clock-text.ts';
import { callsAt } from '../../core/session/calls.ts';
import { foldSession } from '../../core/session/fold.ts';
import { sheetRows } from '../../core/session/rows.ts';
import type { RecordEvent } from '../../core/record/event.ts';
import type { SessionState } from '../../core/session/state.ts';
import { scenes, type SceneName } from '../journeys/harness/scenes.ts';
import { aimedAt, step } from '../../renderer/live/aim.ts';
import { viewOfCall } from '../../renderer/live/call-view.ts';
import { cueOf } from '../../renderer/live/cues.ts';
import { readLine, type LineOf } from '../../renderer/live/line.ts';
import { answerTo, notTakenNow, viewOf, type Asking } from '../../renderer/live/questions.ts';
import { figuresOf, settingsWords, speedWords } from '../../renderer/live/settings-text.ts';
import { comparisonOf, diskWords, recoveryFigures, rowsThatFit } from '../../renderer/live/sheet-words.ts';
import { stageView } from '../../renderer/live/stage-view.ts';
import { undoLast } from '../../renderer/live/undo.ts';

interface At {
  readonly state: SessionState;
  readonly now: number;
  readonly events: readonly RecordEvent[];
}
function at(name: SceneName): At {
  const { station, now } = scenes[name]();
  const events = station.events as readonly RecordEvent[];
  return { state: foldSession(events), now, events };
}
function read({ state, now }: At, text: string, more: Partial<LineOf> = {}) {
  return readLine(state, { text, asking: undefined, aimed: undefined, now, author: 'TN', speedUnit: '[mi_i]/h', ...more });
}
const exercise = (time: string): number => parseClock(time) ?? NaN;

describe('the entry line of the live sheet', () => {
  it('puts a pressure into the open call and says so before Enter', () => {
    const mid = at('mid');
    const line = read(mid, '168/76');
    expect(line.state).toBe('ready');
    expect(line.ask).toBeUndefined();
    expect(line.says).toContain('stage 3');
    expect(line.drafts).toHaveLength(2);
  });

  it('asks once before a bare number quietly amends the last call; a chosen cell is not asked about', () => {
    const mid = at('mid');
    expect(read(mid, '148').ask).toContain('156 stands');
    const cell = aimedAt(sheetRows(mid.state, mid.now), 'exercise/s3/m2/heart-rate');
    expect(cell?.cell.text).toBe('156');
    expect(read(mid, '148', { aimed: cell?.slot }).ask).toBeUndefined();
  });

  it('a correction keeps the moment of the value that it corrects, and is not late for being a correction', () => {
    const mid = at('mid');
    const [draft] = read(mid, '148').drafts;
    const first = mid.state.slots.get('exercise/s3/m2/heart-rate')?.current;
    expect(first?.taken).toBe((mid.state.starts.exercise ?? 0) + exercise('7:59'));
    expect(draft?.taken).toBe(first?.taken);
  });

  it("another author's reading stands beside and amends nothing", () => {
    const line = read(at('mid'), '148', { author: 'MO' });
    expect(line.ask).toBeUndefined();
    expect(line.says).toContain('beside 156');
    expect(line.drafts[0]?.taken).toBeUndefined();
  });

  it('takes a moment that is over: "@7:02" places the reading there, a moment to come is refused', () => {
    const mid = at('mid');
    const line = read(mid, '97 @1:04', { author: 'MO' });
    expect(line.drafts[0]).toMatchObject({ kind: 'reading-taken', taken: (mid.state.starts.exercise ?? 0) + 64_000, data: { slot: { stage: 1, mark: 'm1' } } });
    expect(read(mid, '97 @9:30').state).toBe('refused');
    expect(read(mid, 'stop @8:00').state).toBe('refused');
  });

  it('marks a stage change that was noticed late, but not one before the last', () => {
    const due = at('set-due');
    expect(read(due, 'next @9:02').drafts).toEqual([{ kind: 'stage-changed', data: { stage: 4 }, taken: (due.state.starts.exercise ?? 0) + 542_000 }]);
    expect(read(due, 'next @6:00').state).toBe('refused');
  });

  it('reads a bare speed in the unit that the window shows', () => {
    const mid = at('mid');
    expect(read(mid, 'set 5.6 14', { speedUnit: 'km/h' }).drafts[0]).toMatchObject({ data: { settings: { speed: { typed: '5.6', unit: 'km/h' } } } });
    expect(read(mid, 'set 3.5 14').drafts[0]).toMatchObject({ data: { settings: { speed: { typed: '3.5', unit: '[mi_i]/h' } } } });
  });

  it('stop, undo and next are words; a false start asks why', () => {
    const mid = at('mid');
    expect(read(mid, 'stop').command).toBe('stop');
    expect(read(mid, 'undo').command).toBe('undo');
    expect(read(mid, 'next').command).toBe('stage');
    expect(read(mid, 'false start').next).toEqual({ about: 'false-start' });
    expect(read(mid, 'false start belt slipped').drafts).toEqual([{ kind: 'exercise-struck', data: { reason: 'belt slipped' } }]);
  });

  it('c2 ticks a criterion that is seen, and refuses one that is measured', () => {
    const recovery = at('recovery');
    expect(read(recovery, 'c2').drafts).toEqual([{ kind: 'criterion-seen', data: { criterion: 'gait', met: true } }]);
    expect(read(recovery, 'c2 no').drafts).toEqual([{ kind: 'criterion-seen', data: { criterion: 'gait', met: false } }]);
    expect(read(recovery, 'c3').state).toBe('refused');
    expect(read(recovery, 'c9').state).toBe('refused');
    expect(read(at('recovery-late'), 'c2').drafts).toEqual([{ kind: 'criterion-seen', data: { criterion: 'gait', met: false } }]);
  });
});

describe('what is asked', () => {
  const answer = (scene: At, asking: Asking, text: string) => answerTo(scene.state, asking, text, scene.now);

  it('why the test stopped: a number of the list, and everything else is a reading', () => {
    const stopped = at('reason-wanted');
    expect(answer(stopped, { about: 'why-stopped' }, '1')).toMatchObject({ state: 'ready', drafts: [{ kind: 'stop-reason-given', data: { reason: 'Volitional exhaustion', symptom: false } }] });
    expect(answer(stopped, { about: 'why-stopped' }, '8')).toMatchObject({ state: 'ready', drafts: [{ data: { symptom: true } }] });
    expect(answer(stopped, { about: 'why-stopped' }, '181')).toBeUndefined();
    expect(read(stopped, '181', { asking: { about: 'why-stopped' } }).drafts[0]).toMatchObject({ kind: 'reading-taken', data: { slot: { mark: 'stop', quantity: 'heart-rate' } } });
  });

  it('without the chip a bare 15 after the stop is an RPE and never a reason', () => {
    expect(read(at('reason-wanted'), '15').drafts[0]).toMatchObject({ kind: 'reading-taken', data: { slot: { quantity: 'rpe', mark: 'stop' }, typed: '15' } });
  });

  it('leaving is closed while a criterion is open, and early leaving takes initials and a reason', () => {
    const recovery = at('recovery-late');
    expect(answer(recovery, { about: 'close' }, '1')).toMatchObject({ state: 'refused' });
    const asked = answer(recovery, { about: 'close' }, '3');
    expect(asked).toMatchObject({ state: 'on', next: { about: 'close', way: 'early' } });
    expect(answer(recovery, { about: 'close', way: 'early' }, 'JD')).toMatchObject({ state: 'on', next: { initials: 'JD' } });
    expect(answer(recovery, { about: 'close', way: 'early', initials: 'JD' }, 'lecture begins')).toMatchObject({ state: 'ready', drafts: [{ kind: 'session-closed', data: { outcome: 'left', early: { initials: 'JD', reason: 'lecture begins' } } }] });
    expect(answer(recovery, { about: 'close', way: 'handed-over' }, 'first aid')).toMatchObject({ drafts: [{ data: { outcome: 'handed-over', to: 'first aid' } }] });
  });

  it('after a stop for a symptom the instructor closes, whatever the numbers say', () => {
    const symptom = at('symptom');
    expect(viewOf(symptom.state, { about: 'close' }, symptom.now).choices[0]?.closed).toContain('instructor');
  });

  it('after a stop for a symptom lying with raised legs is offered first', () => {
    expect(answer(at('symptom'), { about: 'posture' }, '1')).toMatchObject({ drafts: [{ kind: 'posture-changed', data: { posture: 'lying, legs raised' } }] });
    expect(answer(at('recovery'), { about: 'posture' }, '1')).toMatchObject({ drafts: [{ data: { posture: 'standing' } }] });
  });

  it('"not taken" is about the open call, else about the call missed last', () => {
    const mid = at('mid');
    expect(notTakenNow(mid.state, mid.now, undefined).map((slot) => slot.quantity)).toEqual(['systolic', 'diastolic']);
    const closed = at('recovery-late');
    expect(notTakenNow(closed.state, closed.now, undefined).map((slot) => slot.quantity)).toEqual([]);
    const late = at('call-late');
    expect(answer(late, { about: 'not-taken', slots: notTakenNow(late.state, late.now, undefined) }, '1')).toMatchObject({ drafts: [{ kind: 'reading-not-taken', data: { reason: 'not heard' } }] });
  });

  it('a chosen reading is struck with a reason, pressures as the pair', () => {
    const mid = at('mid');
    const struck = answer(mid, { about: 'strike', slot: { phase: 'exercise', stage: 1, mark: 'end', quantity: 'systolic' } }, '3');
    expect(struck?.state === 'ready' && struck.drafts).toHaveLength(2);
  });
});

describe('undo', () => {
  it("takes back the person's own last command whole, and puts the text back", () => {
    const mid = at('mid');
    const undo = undoLast(mid.events, 'TN', mid.now);
    expect(undo).toMatchObject({ ok: true, typed: '156' });
    const soon = at('set-soon');
    const cuff = undoLast(soon.events.slice(0, -1), 'TN', soon.now);
    expect(cuff).toMatchObject({ ok: true, typed: '152/74' });
    expect(cuff.ok && cuff.drafts).toHaveLength(2);
  });

  it('never takes what another person entered', () => {
    const two = at('two-authors');
    expect(undoLast(two.events, 'TN', two.now)).toMatchObject({ ok: true, typed: '156' });
    expect(undoLast(two.events, 'MO', two.now)).toMatchObject({ ok: true, typed: '151' });
    expect(undoLast(two.events, 'XX', two.now).ok).toBe(false);
  });

  it('takes a stop back for ten seconds and says so afterwards', () => {
    const stopped = at('stopped');
    expect(undoLast(stopped.events, 'TN', stopped.now)).toMatchObject({ ok: true, drafts: [{ kind: 'stop-taken-back' }] });
    expect(undoLast(stopped.events, 'TN', stopped.now + 10_000)).toMatchObject({ ok: false });
  });

  it('does not strike the start of the test by accident', () => {
    const first = at('first-seconds');
    expect(undoLast(first.events, 'TN', first.now)).toMatchObject({ ok: false });
  });
});

describe('calls as shown', () => {
  const words = (settings: Parameters<typeof settingsWords>[0]): string => settingsWords(settings, '[mi_i]/h');
  const present = ({ state, now }: At) => {
    const [call] = callsAt(state, now);
    if (!call) throw new Error('no call');
    return viewOfCall(state, call, now, words);
  };

  it('counts to the moment it is due, then to the moment it is late, then how late it is', () => {
    const mid = at('mid');
    expect(present(mid)).toMatchObject({ label: 'Blood pressure', count: '0:08', counts: 'due in', tone: 'open' });
    expect(present({ ...mid, now: mid.now + 10_000 })).toMatchObject({ label: 'Blood pressure', count: '0:43', counts: 'late in' });
    expect(present(at('call-late'))).toMatchObject({ label: 'Heart rate', count: '0:13', counts: 'late by', tone: 'late' });
  });

  it('gas names its stage and what is still missing', () => {
    const due = at('set-due');
    const gas = callsAt(due.state, due.now).map((call) => viewOfCall(due.state, call, due.now, words)).find((view) => view.label.startsWith('Gas'));
    expect(gas).toMatchObject({ label: 'Gas, stage 3', when: 'by 9:45' });
    expect(gas?.detail).toContain('VO₂, RER, VE (VCO₂ if you have it)');
  });

  it('a tone sounds when a call opens and when it becomes late, once each', () => {
    const mid = present(at('mid'));
    const first = cueOf(undefined, mid);
    expect(first.cue).toBe('take');
    expect(cueOf(first.sounded, mid).cue).toBeUndefined();
    expect(cueOf(first.sounded, { ...mid, tone: 'late' }).cue).toBe('late');
    expect(cueOf(undefined, { ...mid, tone: 'to-come' }).cue).toBeUndefined();
    expect(cueOf(undefined, { ...mid, kind: 'set' }).cue).toBe('set');
  });
});

describe('words and figures', () => {
  it('shows speeds in the preferred unit, the planned number untouched in its own', () => {
    const { state } = at('mid');
    const stage = state.stages[2];
    // 3.4 mph is 5.4718 km/h by definition (1.609344 km a mile).
    expect(settingsWords(stage?.actual ?? {}, 'km/h')).toBe('5.5 km/h, 14 %');
    expect(settingsWords(stage?.actual ?? {}, '[mi_i]/h')).toBe('3.4 mph, 14 %');
    expect(speedWords(1.609344, '[mi_i]/h')).toBe('1.0 mph');
    expect(figuresOf({}, 'km/h')).toEqual([]);
  });

  it('the next target is called from 30 s before the change', () => {
    const soon = at('set-soon');
    expect(stageView(soon.state, soon.now, '[mi_i]/h')?.next).toMatchObject({ words: '4.2 mph, 16 %', count: '0:12', soon: true, due: false });
    const mid = at('mid');
    expect(stageView(mid.state, mid.now, '[mi_i]/h')).toMatchObject({ number: 3, of: 10, from: '6:00', to: '9:00', next: { soon: false, count: '0:38' } });
    const due = at('set-due');
    expect(stageView(due.state, due.now, '[mi_i]/h')?.next).toMatchObject({ due: true, count: '+0:09' });
  });

  it('measured beside predicted, with a bar to the left where measured is lower', () => {
    const rows = comparisonOf(at('mid').state);
    expect(rows.map((row) => row.measured)).toEqual(['0.98', '1.47', 'by 9:45']);
    expect(rows[0]?.left).toBeLessThan(50);
    expect(rows[2]?.left).toBeUndefined();
  });

  it('heart-rate recovery is "to come" before its minute and falls from the peak', () => {
    const stopped = at('stopped');
    expect(recoveryFigures(stopped.state, stopped.now).map((one) => one.waiting)).toEqual([true, true]);
    const recovery = at('recovery');
    // 181 at the stop, 152 and 134 a minute and two later.
    expect(recoveryFigures(recovery.state, recovery.now).map((one) => one.text)).toEqual(['−29', '−47']);
  });

  it('says what is on disk and what is not', () => {
    const { events, now } = at('mid');
    expect(diskWords(events, now, false, 0)).toMatch(/^\d+ readings on disk, last 23 s ago$/);
    expect(diskWords(events, now, true, 2)).toBe('Station lost; 2 not yet on disk, kept here');
    expect(diskWords([], now, false, 0)).toBe('no readings yet');
  });

  it('whole rows only', () => {
    expect(rowsThatFit(0, 23)).toBe(1000);
    expect(rowsThatFit(70, 23)).toBe(3);
    expect(rowsThatFit(10, 23)).toBe(1);
  });

  it('arrows step through the places of the sheet', () => {
    const mid = at('mid');
    const rows = sheetRows(mid.state, mid.now);
    expect(step(rows, 'exercise/s3/m2/heart-rate', 'up')).toBe('exercise/s3/m1/heart-rate');
    expect(step(rows, 'exercise/s3/m1/heart-rate', 'up')).toBe('exercise/s2/m3/heart-rate');
    expect(step(rows, 'exercise/s2/m3/heart-rate', 'right')).toBe('exercise/s2/end/systolic');
    expect(step(rows, 'exercise/s3/m1/heart-rate', 'right')).toBe('exercise/s3/m1/heart-rate');
    expect(step(rows, 'rest/rest/heart-rate', 'up')).toBe('rest/rest/heart-rate');
    expect(step([], undefined, 'up')).toBeUndefined();
  });
});
