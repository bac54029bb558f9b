import { readdirSync, readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rehearsalNext, REHEARSAL_AUTHOR } from '../../core/rehearsal/driver.ts';
import { heardAt, participantSays } from '../../core/rehearsal/heard.ts';
import { rehearsalParticipants, USUAL_REHEARSAL_RATE } from '../../core/rehearsal/participant.ts';
import { recoveryAt, recoverySeries } from '../../core/recovery/tracker.ts';
import { openHolds } from '../../core/session/holds.ts';
import { readEntry } from '../../core/session/entry-line.ts';
import type { SessionDraft } from '../../core/session/events.ts';
import type { SessionState } from '../../core/session/state.ts';
import { readingQuantities } from '../../core/vocabulary.ts';
import { RehearsalRun } from './rehearsal-run.ts';
import { cycleText, stepText } from './rehearsal-sheets.ts';
import { bruceText, SessionBuilder } from './session-builder.ts';

const MINUTE = 60_000;
const codes = rehearsalParticipants.map(({ code }) => code);
const wholeRun = (code: string, seed: number, step: number): RehearsalRun => new RehearsalRun(code, seed).run(step);
/** What a record says, without the moment at which a step happened to write it. */
const said = (run: RehearsalRun) => run.events.slice(1).map(({ kind, taken, author, data }) => ({ kind, taken, author, data }));
const readings = (state: SessionState, phase: string, quantity: string) =>
  [...state.slots.values()].filter((slot) => slot.slot.phase === phase && slot.slot.quantity === quantity && slot.current?.value !== undefined).map((slot) => ({ slot, value: slot.current?.value ?? 0, taken: slot.current?.taken ?? 0 }));

describe('a whole rehearsal on the Bruce sheet', () => {
  // Every draft goes through decideSession in `write`, which throws on a refusal.
  describe.each(codes)('%s', (code) => {
    const small = wholeRun(code, 7, 250);

    it('goes from prepare to closed in small steps', () => {
      const { state } = small;
      expect(state.phase).toBe('worksheet');
      expect(state.closing?.outcome).toBe(code === 'R-05' ? 'handed-over' : 'left');
      expect(state.screening?.outcome).toBe('go');
      expect(state.screening?.by).toContain('simulated');
      expect(openHolds({ ...state, phase: 'rest' })).toEqual([]);
      expect(state.people).toEqual({ recorder: 'JK', tester: 'TM' });
      expect(small.events.slice(1).every(({ author }) => author === REHEARSAL_AUTHOR)).toBe(true);
    });

    it('writes the same in steps of 5 s and of 30 s', () => {
      expect(said(wholeRun(code, 7, 5_000))).toEqual(said(small));
      expect(said(wholeRun(code, 7, 30_000))).toEqual(said(small));
    });

    it('shows exercise within a minute of session time, and the whole job in two minutes or so at the usual rate', () => {
      const { starts } = small.state;
      expect(starts.exercise).toBeLessThan(MINUTE);
      // Two and a half minutes for the longest, a trained runner.
      expect((starts.closed ?? Infinity) / USUAL_REHEARSAL_RATE).toBeLessThan(2.5 * MINUTE);
    });

    it('has moments in the order of what brings them about', () => {
      const taken = small.events.map((event) => event.taken);
      expect(taken).toEqual(taken.toSorted((a, b) => a - b));
    });

    it('sets every stage a little late, never early, and says where it stood otherwise', () => {
      for (const stage of small.state.stages.slice(1)) {
        const late = stage.changedAt - (stage.number - 1) * 3 * MINUTE;
        expect(late).toBeGreaterThanOrEqual(1_000);
        expect(late).toBeLessThanOrEqual(16_000);
      }
      for (const stage of small.state.stages) if (stage.differsFromPlan) expect(small.state.notes.some(({ text }) => text.includes('planned'))).toBe(true);
    });

    it('gives values that rise with work and fall afterwards', () => {
      const { state } = small;
      const lastOfStage = (quantity: string): number[] => state.stages.map((stage) => readings(state, 'exercise', quantity).findLast(({ slot }) => slot.slot.stage === stage.number)?.value).filter((value) => value !== undefined);
      for (const quantity of ['heart-rate', 'vo2', 've']) {
        const values = lastOfStage(quantity);
        expect(values.length).toBeGreaterThanOrEqual(3);
        // Noise of one reading: heart rate 5 /min at most (three spreads), gases a tenth.
        for (let index = 1; index < values.length; index += 1) expect(values[index]).toBeGreaterThan((values[index - 1] ?? 0) * 0.9 - 5);
        expect(values.at(-1)).toBeGreaterThan((values[0] ?? 0) * 1.3);
      }
      const recovery = recoverySeries(state, 'heart-rate');
      expect(recovery.length).toBeGreaterThanOrEqual(6);
      expect(recovery.at(-1)?.value).toBeLessThan((recovery[0]?.value ?? 0) - 40);
      expect(recoveryAt(state, state.starts.closed ?? 0).criteria.every((criterion) => criterion.state === 'met')).toBe(true);
    });

    it('has something late to look at, and nothing that is not accounted for', () => {
      const { state } = small;
      const scheduled = [...state.slots.values()].filter((slot) => slot.scheduled && !slot.scheduled.optional && slot.scheduled.missed < (state.starts.closed ?? 0));
      expect(scheduled.every((slot) => slot.current !== undefined || slot.notTaken !== undefined)).toBe(true);
      expect(scheduled.some((slot) => (slot.current?.taken ?? 0) > (slot.scheduled?.late ?? Infinity))).toBe(true);
      expect(readings(state, 'exercise', 'heart-rate').every(({ slot }) => slot.current?.source === 'simulated')).toBe(true);
    });
  });

  it('is told apart by seed and by participant', () => {
    const one = said(wholeRun('R-01', 7, 30_000));
    expect(said(wholeRun('R-01', 7, 30_000))).toEqual(one);
    expect(said(wholeRun('R-01', 8, 30_000))).not.toEqual(one);
    const slips = (code: string) => wholeRun(code, 7, 30_000).state.stages.map(({ lateBy, differsFromPlan }) => [lateBy, differsFromPlan]);
    expect(new Set(codes.map((code) => JSON.stringify(slips(code)))).size).toBeGreaterThan(1);
  });

  it('comes to an end for any seed, and any step writes the same', () => {
    fc.assert(
      fc.property(fc.constantFrom(...codes), fc.integer(), fc.integer({ min: 2_000, max: 45_000 }), fc.constantFrom(bruceText, bruceText, cycleText, stepText), (code, seed, step, text) => {
        const run = new RehearsalRun(code, seed, { text }).run(step);
        expect(run.state.phase).toBe('worksheet');
        expect(run.state.stop?.reason).toBeTruthy();
        expect(run.now).toBeLessThan(60 * MINUTE);
        expect(said(new RehearsalRun(code, seed, { text }).run(120_000))).toEqual(said(run));
      }),
      { numRuns: Number(process.env['REHEARSAL_RUNS'] ?? 15) },
    );
  }, 600_000);

  it('runs every lab sheet there is', () => {
    const folder = new URL('../../lab-sheets/', import.meta.url);
    const sheets = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
    expect(sheets).toContain('treadmill-maximal-bruce.yaml');
    for (const name of sheets) {
      const run = new RehearsalRun('R-01', 3, { text: readFileSync(new URL(name, folder), 'utf8') }).run(5_000);
      expect(run.state.phase, name).toBe('worksheet');
    }
  });
});

describe('other ways of working', () => {
  it('sets loads on the cycle, waits for the heart rate that decides, and holds a stage that is not steady', () => {
    // Not one beat: two minutes are seldom that steady.
    const run = new RehearsalRun('R-01', 4, { text: cycleText.replace('within: 5', 'within: 0') }).run(5_000);
    const { state } = run;
    expect(state.stages.some(({ repeats }) => repeats > 0)).toBe(true);
    for (const stage of state.stages.slice(0, -1)) {
      const last = readings(state, 'exercise', 'heart-rate').findLast(({ slot }) => slot.slot.stage === stage.number);
      expect(state.stages[stage.number]?.changed).toBeGreaterThan(last?.taken ?? Infinity);
      expect(stage.steady?.state).not.toBe('pending');
    }
    expect(state.stages.map(({ actual }) => actual.load?.unit)).toEqual(state.stages.map(() => 'W'));
    expect(state.gaits).toEqual([]);
    expect(state.postures.map(({ posture }) => posture)).toEqual(['standing', 'cycling', 'sitting']);
  });

  it('ends at the sheet’s heart-rate cap', () => {
    const { state } = new RehearsalRun('R-03', 4, { text: cycleText.replace('fraction: 0.85', 'fraction: 0.7') }).run(5_000);
    // 70 % of 208 − 0.7·34.
    expect(Math.max(...readings(state, 'exercise', 'heart-rate').map(({ value }) => value))).toBeGreaterThanOrEqual(0.7 * (208 - 0.7 * 34));
    expect(state.stages.length).toBeLessThan(4);
    expect(state.stop?.reason).toBe('Instructor ended the test');
  });

  it('steps to the end of the plan', () => {
    const { state } = new RehearsalRun('R-01', 4, { text: stepText }).run(5_000);
    expect(state.stop?.reason).toBe('End of the planned stages');
    // 24 cycles a minute on 0.30 m cost 25.5 mL/kg/min by the ACSM equation; three minutes come near it.
    const perKilogram = ((readings(state, 'exercise', 'vo2')[0]?.value ?? 0) * 1000) / (state.mass ?? 1);
    expect(Math.abs(perKilogram - 25.5)).toBeLessThan(2.5);
  });

  it('takes a fallen pressure again at once, and the simulated instructor ends a test in which it stays low', () => {
    const run = new RehearsalRun('R-01', 7).run(1_000, (state) => state.slots.get('exercise/s2/end/systolic')?.current !== undefined);
    const slot = { phase: 'exercise' as const, stage: 2, mark: '@5:40', quantity: 'systolic' };
    run.write({ kind: 'reading-taken', data: { slot, typed: '104', unit: 'mm[Hg]' } }, 'AB');
    const asked = run.now;
    run.step(45_000);
    const again = [...run.state.slots.values()].filter((one) => !one.scheduled && one.slot.quantity === 'systolic' && (one.current?.taken ?? 0) > asked);
    expect(again).toHaveLength(1);
    const second = { phase: 'exercise' as const, stage: 3, mark: '@6:30', quantity: 'systolic' };
    run.write({ kind: 'reading-taken', data: { slot: second, typed: '104', unit: 'mm[Hg]' } }, 'AB');
    run.write({ kind: 'reading-taken', data: { slot: { ...second, mark: '@6:31' }, typed: '102', unit: 'mm[Hg]' } }, 'AB');
    run.step(10_000);
    expect(run.state.phase).toBe('recovery');
    run.run(5_000);
    expect(run.state.stop).toMatchObject({ reason: 'Pressure fell as the work rose', symptom: true });
    expect(run.state.closing?.outcome).toBe('handed-over');
  });
});

describe('behaviours', () => {
  it('R-01 and R-02 go on to volitional fatigue near their maximum', () => {
    for (const code of ['R-01', 'R-02']) {
      const { state } = wholeRun(code, 11, 5_000);
      expect(state.stop).toMatchObject({ reason: 'Volitional exhaustion', symptom: false });
      expect(readings(state, 'exercise', 'rpe').at(-1)?.value).toBeGreaterThanOrEqual(18);
      // Effort criteria of a maximal test: exchange ratio at least 1.05 in each of them.
      expect(readings(state, 'exercise', 'rer').at(-1)?.value).toBeGreaterThanOrEqual(1.05);
    }
  });

  it('R-03 is nervous, misses a cuff with a reason, and the strap drops out', () => {
    const { state } = wholeRun('R-03', 11, 5_000);
    const calm = rehearsalParticipants.find(({ code }) => code === 'R-03')?.heartRateRest ?? 0;
    expect(readings(state, 'rest', 'heart-rate')[0]?.value).toBeGreaterThan(calm + 8);
    const missed = [...state.slots.values()].filter((slot) => slot.notTaken && slot.slot.phase === 'exercise');
    expect(missed.map((slot) => slot.slot.quantity)).toEqual(expect.arrayContaining(['systolic', 'diastolic']));
    expect(missed[0]?.notTaken?.reason).toContain('cuff');
    const counted = readings(state, 'exercise', 'heart-rate').filter(({ slot }) => slot.current?.note?.includes('strap'));
    expect(counted.length).toBeGreaterThanOrEqual(2);
    // Counted by hand for 15 s: a multiple of four.
    for (const { value } of counted) expect(value % 4).toBe(0);
  });

  it('R-04 asks to stop before the maximum and holds the rail in between', () => {
    const { state } = wholeRun('R-04', 11, 5_000);
    expect(state.stop).toMatchObject({ reason: 'Asked to stop', symptom: false });
    const participant = rehearsalParticipants.find(({ code }) => code === 'R-04');
    expect(Math.max(...readings(state, 'exercise', 'heart-rate').map(({ value }) => value))).toBeLessThan((participant?.heartRateMax ?? 0) - 4);
    expect(state.handrail.map(({ held }) => held)).toEqual([true, false]);
    expect(state.stages.find(({ handrail }) => handrail)?.number).toBe(2);
  });

  it('R-05 becomes light-headed in exercise: symptom stop, lying at once, readings every minute, handed over', () => {
    const { state, events } = wholeRun('R-05', 11, 5_000);
    expect(state.stop?.symptom).toBe(true);
    expect(state.symptoms[0]?.text).toBe('light-headed');
    const stop = state.stop?.taken ?? 0;
    const first = state.postures.find(({ taken }) => taken >= stop);
    expect(first?.posture).toBe('lying, legs raised');
    expect((first?.taken ?? Infinity) - stop).toBeLessThan(15_000);
    expect(state.postures.some(({ posture, taken }) => taken >= stop && posture === 'walking')).toBe(false);
    const pressures = [...state.slots.values()].filter((slot) => slot.slot.phase === 'recovery' && slot.slot.quantity === 'systolic' && (slot.current ?? slot.notTaken));
    expect(pressures.map((slot) => slot.slot.mark)).toEqual(expect.arrayContaining(['m0', 'm1', 'm2', 'm3']));
    expect(state.closing).toMatchObject({ outcome: 'handed-over' });
    expect(state.closing?.to).toContain('simulated');
    expect(events.filter(({ kind }) => kind === 'criterion-seen').map(({ data }) => data)[0]).toEqual({ criterion: 'no-symptoms', met: false });
  });

  it('R-06 becomes light-headed while walking afterwards, lies down, recovers and leaves', () => {
    const { state, events } = wholeRun('R-06', 11, 5_000);
    const stop = state.stop?.taken ?? 0;
    expect(state.stop?.symptom).toBe(false);
    expect((state.symptoms[0]?.taken ?? 0) - stop).toBeGreaterThan(MINUTE);
    expect(state.postures.filter(({ taken }) => taken >= stop).map(({ posture }) => posture)).toEqual(['walking', 'lying, legs raised', 'sitting']);
    const answers = events.filter(({ kind, data }) => kind === 'criterion-seen' && (data as { criterion: string }).criterion === 'no-symptoms').map(({ data }) => (data as { met: boolean }).met);
    expect(answers).toEqual([false, true]);
    expect(state.closing?.outcome).toBe('left');
  });
});

describe('beside people', () => {
  const exercising = (code = 'R-01'): RehearsalRun => new RehearsalRun(code, 7).run(1_000, (state) => state.phase === 'exercise');

  it('writes nothing into a live session, a closed one, or for a participant it does not know', () => {
    expect(rehearsalNext(new SessionBuilder('live').state, MINUTE)).toEqual([]);
    expect(rehearsalNext(wholeRun('R-01', 7, 30_000).state, 90 * MINUTE)).toEqual([]);
    expect(rehearsalNext(new RehearsalRun('R-99', 7).state, MINUTE)).toEqual([]);
  });

  it('leaves a person’s reading alone, also one that was struck', () => {
    const run = exercising().step(50_000);
    const slot = { phase: 'exercise' as const, stage: 1, mark: 'm1', quantity: 'heart-rate' };
    run.write({ kind: 'reading-taken', data: { slot, typed: '111', unit: '/min' } }, 'AB');
    const target = run.events.length - 1;
    run.step(30_000);
    expect(run.state.slots.get('exercise/s1/m1/heart-rate')?.readings).toHaveLength(1);
    run.write({ kind: 'event-struck', data: { target, reason: 'wrong person' } }, 'AB');
    run.step(30_000);
    expect(run.state.slots.get('exercise/s1/m1/heart-rate')?.readings).toHaveLength(1);
  });

  it('takes a person’s stop and sees recovery through', () => {
    const run = exercising().step(100_000);
    run.write({ kind: 'test-stopped', data: {} }, 'AB');
    run.write({ kind: 'stop-reason-given', data: { reason: 'Equipment failed', symptom: false } }, 'AB');
    run.run(5_000);
    expect(run.state.stop).toMatchObject({ author: 'AB', reason: 'Equipment failed' });
    expect(run.state.phase).toBe('worksheet');
  });

  it('goes on when a stop is taken back, and stops again later', () => {
    const run = new RehearsalRun('R-01', 7).run(500, (state) => state.phase === 'recovery');
    const first = run.state.stop?.taken ?? 0;
    run.write({ kind: 'stop-taken-back', data: {} }, 'AB');
    run.step(10_000);
    expect(run.state.phase).toBe('exercise');
    run.run(5_000);
    expect(run.state.phase).toBe('worksheet');
    expect((run.state.stop?.taken ?? 0) - first).toBeGreaterThanOrEqual(40_000);
  });

  it('starts again after a false start, with Rest kept', () => {
    const run = exercising().step(20_000);
    const rest = run.state.starts.rest;
    run.write({ kind: 'exercise-struck', data: { reason: 'belt did not move' } }, 'AB');
    run.run(1_000, (state) => state.phase === 'exercise');
    expect(run.state.starts.rest).toBe(rest);
    run.run(5_000);
    expect(run.state.phase).toBe('worksheet');
  });

  it('waits where a person has screened the participant out', () => {
    const run = new RehearsalRun('R-01', 7);
    run.write({ kind: 'screening-done', data: { outcome: 'no-test-today', by: 'KL' } }, 'KL');
    run.run(5_000, () => false, 10 * MINUTE);
    expect(run.state.phase).toBe('rest');
  });

  it('follows the work that was really set', () => {
    const peak = (load: string): number => {
      const run = exercising();
      run.write({ kind: 'setting-recorded', data: { stage: 1, settings: { grade: { typed: load, unit: '%' } } } }, 'AB');
      run.run(5_000, (state) => (state.slots.get('exercise/s1/end/vo2')?.current) !== undefined);
      return run.state.slots.get('exercise/s1/end/vo2')?.current?.value ?? 0;
    };
    expect(peak('15')).toBeGreaterThan(peak('5') * 1.2);
  });
});

describe('with the student as recorder', () => {
  it('does the paperwork only, and leaves the recorder’s name open', () => {
    const run = new RehearsalRun('R-01', 7, { records: false }).run(1_000, () => false, MINUTE);
    expect(run.state.phase).toBe('prepare');
    expect(run.state.people.recorder).toBeUndefined();
    expect(openHolds(run.state).map(({ id }) => id)).toEqual(['detail-recorder', 'rest-readings']);
  });

  /** A student who types every second what was called out, exactly as it was called. */
  function diligent(code: string): { readonly run: RehearsalRun; readonly refused: readonly string[] } {
    const run = new RehearsalRun(code, 7, { records: false });
    const refused: string[] = [];
    const by = (draft: SessionDraft) => run.write(draft, 'JK');
    run.run(1_000, () => false, 20_000);
    by({ kind: 'detail-given', data: { detail: 'recorder', typed: 'JK' } });
    by({ kind: 'rest-started', data: {} });
    while (run.state.phase !== 'worksheet' && run.now < 60 * MINUTE) {
      run.step(1_000);
      for (const heard of heardAt(run.state, run.now)) {
        if (heard.entry === undefined) {
          const criterion = run.state.sheet.recovery.criteria.find(({ text }) => heard.text.toLowerCase().endsWith(text.toLowerCase()));
          if (criterion) by({ kind: 'criterion-seen', data: { criterion: criterion.id, met: heard.text.startsWith('seen') } });
          continue;
        }
        const entry = readEntry(run.state, heard.entry, run.now);
        if (entry.command === 'stop') {
          by({ kind: 'test-stopped', data: {} });
          by({ kind: 'stop-reason-given', data: { reason: 'Volitional exhaustion', symptom: code === 'R-05' } });
          break;
        }
        if (entry.command === 'stage') by({ kind: 'stage-changed', data: { stage: (run.state.stages.at(-1)?.number ?? 0) + 1 } });
        else if (entry.state !== 'ready') refused.push(`${heard.entry}: ${entry.says}`);
        else for (const draft of entry.drafts) by(draft.kind === 'reading-taken' ? { ...draft, data: { ...draft.data, confirmed: true } } : draft);
      }
      const { state } = run;
      if (state.phase === 'rest' && openHolds(state).length === 0) by({ kind: 'exercise-started', data: {} });
      if (state.phase === 'recovery' && recoveryAt(state, run.now).mayLeave) by({ kind: 'session-closed', data: { outcome: 'left' } });
      if (state.phase === 'recovery' && code === 'R-05' && run.now - (state.stop?.taken ?? 0) > 10 * MINUTE) by({ kind: 'session-closed', data: { outcome: 'handed-over', to: 'KL' } });
    }
    return { run, refused };
  }

  it.each(['R-01', 'R-03', 'R-05', 'R-06'])('%s: what is called out can be typed as it stands, and fills the sheet to the end', (code) => {
    const { run, refused } = diligent(code);
    expect(refused).toEqual([]);
    const { state } = run;
    expect(state.phase).toBe('worksheet');
    const due = [...state.slots.values()].filter((slot) => slot.scheduled && !slot.scheduled.optional && slot.scheduled.missed < (state.starts.closed ?? 0));
    const empty = due.filter((slot) => !slot.current && !slot.notTaken);
    expect(empty.map(({ key }) => key)).toEqual([]);
    expect(due.length).toBeGreaterThan(30);
    expect(run.events.filter(({ author, kind }) => author === REHEARSAL_AUTHOR && kind === 'reading-taken')).toEqual([]);
  });

  it('says the numbers as people say them', () => {
    const run = new RehearsalRun('R-01', 7, { records: false });
    run.run(1_000, () => false, 20_000);
    run.write({ kind: 'rest-started', data: {} }, 'JK');
    run.step(30_000);
    const heard = heardAt(run.state, run.now);
    expect(heard.map(({ text }) => text)).toEqual(expect.arrayContaining([expect.stringMatching(/^heart rate \d+$/), expect.stringMatching(/^\d+ over \d+$/), 'six']));
    expect(heard.find(({ text }) => text.startsWith('heart rate'))).toMatchObject({ who: 'tester', slots: ['rest/rest/heart-rate'], entry: expect.stringMatching(/^\d+$/) });
    // Asked again a little later, the same number is still in the air.
    expect(heardAt(run.state, run.now + 500).map(({ text }) => text)).toEqual(heard.map(({ text }) => text));
  });

  it('says the last posture only', () => {
    const run = new RehearsalRun('R-01', 7, { records: false }).run(1_000, () => false, 20_000);
    run.write({ kind: 'detail-given', data: { detail: 'recorder', typed: 'JK' } }, 'JK').write({ kind: 'rest-started', data: {} }, 'JK');
    for (const [quantity, typed] of [['heart-rate', '74'], ['systolic', '112'], ['diastolic', '70'], ['rpe', '6']] as const) {
      run.write({ kind: 'reading-taken', data: { slot: { phase: 'rest', mark: 'rest', quantity }, typed, unit: readingQuantities[quantity].unit } }, 'JK');
    }
    run.write({ kind: 'exercise-started', data: {} }, 'JK').step(2 * MINUTE).write({ kind: 'test-stopped', data: {} }, 'JK');
    const postures = () => heardAt(run.state, run.now).filter(({ text }) => /now$/.test(text)).map(({ text }) => text);
    run.step(MINUTE);
    expect(postures()).toEqual(['walking now']);
    run.step(3 * MINUTE);
    expect(postures()).toEqual(['sitting now']);
  });

  it('lets the participant speak when it is time to stop', () => {
    const run = new RehearsalRun('R-04', 7).run(1_000, (state) => state.phase === 'recovery');
    const stop = run.state.stop?.taken ?? 0;
    const before = new RehearsalRun('R-04', 7).run(1_000, () => false, stop - 1_500);
    expect(participantSays(before.state, stop - 60_000)).toBeUndefined();
    const plea = { text: 'I would like to stop now, please.', stop: true };
    expect(participantSays(before.state, stop - 1_000)).toEqual(plea);
    // Whoever only listens hears it too, until the test is stopped.
    expect(heardAt(before.state, stop + 1)).toContainEqual(expect.objectContaining({ who: 'participant', text: plea.text, entry: 'stop' }));
    expect(heardAt(run.state, run.now).some(({ entry }) => entry === 'stop')).toBe(false);
  });
});
