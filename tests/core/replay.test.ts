/** What the rows of a recorded session mean, and how a wrong file is refused: line, fault, remedy. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { replayProblemText } from '../../core/replay/replay.ts';
import { stopReason } from '../../core/replay/stop-reason.ts';
import { decideSession } from '../../core/session/decide.ts';
import { sessionKinds } from '../../core/session/events.ts';
import { fixture, HEADING, refusal, replayed, session, sheet } from './replayed.ts';

const STOP = '6:30,exercise,stop,volitional exhaustion,,KT,';
const stages = ['0:00,exercise,stage,1,,KT,', '3:00,exercise,stage,2,,KT,', '6:00,exercise,stage,3,,KT,'];
/** Line of the first row that a test gives: after the heading and the four rows of the head. */
const FIRST = 6;

describe('a file that cannot be understood is refused with its line and what would be right', () => {
  const cases: readonly (readonly [name: string, csv: string, line: number, says: RegExp])[] = [
    ['nothing', '', 1, /the file is empty; write the heading/],
    ['a heading alone', `${HEADING}\n`, 1, /no rows under the heading/],
    ['a workbook', 'PK\u0003\u0004…', 1, /not text; save the table as CSV/],
    ['another table', 'name,mark\nA,1\n', 1, /"name" is not a column of a recorded session; the heading is time,phase/],
    ['a misspelt column', `${HEADING.replace('quantity', 'quantiy')}\n`, 1, /"quantiy" is not a column.*did you mean "quantity"\?/],
    ['a column twice', `${HEADING},note\n`, 1, /"note" is there twice/],
    ['a column too few', 'time,phase,value\n0:00,rest,1\n', 1, /the column "quantity" is missing/],
    ['an unknown quantity', session('1:00,rest,hart-rate,70,,KT,', ...stages, STOP), FIRST, /"hart-rate" is not a quantity.*did you mean "heart-rate"\?/],
    ['an unknown phase', session('1:00,warmup,heart-rate,70,,KT,', ...stages, STOP), FIRST, /"warmup" is not a phase; use prepare, rest, exercise, recovery or worksheet/],
    ['a quantity in the wrong phase', session('1:00,rest,stage,1,,KT,', ...stages, STOP), FIRST, /"stage" does not belong to the phase "rest"; give it in exercise/],
    ['a bad time', session(...stages, '4:75,exercise,heart-rate,120,,KT,', STOP), FIRST + 3, /"4:75" is not a time; write minutes and seconds within the phase, like 4:45/],
    ['a time without a colon', session(...stages, '4.5,exercise,heart-rate,120,,KT,', STOP), FIRST + 3, /"4\.5" is not a time/],
    ['no time', session(...stages, ',exercise,heart-rate,120,,KT,', STOP), FIRST + 3, /the time is missing/],
    ['a time before the phase', session(...stages, '-1:00,exercise,heart-rate,120,,KT,', STOP), FIRST + 3, /before the phase begins/],
    ['a time that a spreadsheet spoilt', session(...stages, '4:00:00,exercise,heart-rate,120,,KT,', STOP), FIRST + 3, /more than two hours.*3:00 into 3:00:00/],
    ['a bad unit', session(...stages, '4:00,exercise,heart-rate,120,kg,KT,', STOP), FIRST + 3, /"kg" is not a unit for heart rate; use \/min/],
    ['a unit of another kind for oxygen uptake', session(...stages, '3:10,exercise,vo2,1.2,L,KT,', STOP), FIRST + 3, /"L" is not a unit for oxygen uptake; use L\/min, mL\/min or mL\/kg\/min/],
    ['two units that contradict each other', session(...stages, '3:10,exercise,vo2,1200 mL/min,L/min,KT,', STOP), FIRST + 3, /is in mL\/min, and the unit column says L\/min; give the unit once/],
    ['a word where a number belongs', session(...stages, '4:00,exercise,heart-rate,fast,,KT,', STOP), FIRST + 3, /"fast" is not a number for heart rate/],
    ['no value', session(...stages, '4:00,exercise,heart-rate,,,KT,', STOP), FIRST + 3, /"heart-rate" has no value; write the value, or - where it was not taken/],
    ['an impossible value', session(...stages, '4:00,exercise,heart-rate,300,,KT,', STOP), FIRST + 3, /Heart rate 300.*not possible here/],
    ['oxygen uptake in the wrong unit', session(...stages, '3:10,exercise,vo2,1200,L/min,KT,', STOP), FIRST + 3, /Is it 1200 mL\/min\?/],
    ['a pressure upside down', session('1:00,rest,systolic,70,,KT,', '1:00,rest,diastolic,110,,KT,', ...stages, STOP), FIRST + 1, /70\/110.*more than 10 below/],
    ['an RPE that is none', session(...stages, '4:00,exercise,rpe,22,,KT,', STOP), FIRST + 3, /RPE.*6.*20/],
    ['no stop, with recovery', session(...stages, '1:00,recovery,heart-rate,120,,KT,'), FIRST + 3, /rows of recovery, and no row says when Exercise stopped; add a row like "6:00,exercise,stop,volitional exhaustion"/],
    ['no stop at all', session(...stages), FIRST + 2, /no row says when Exercise stopped/],
    ['no exercise', session('1:00,rest,heart-rate,70,,KT,'), 1, /no rows of Exercise/],
    ['two stops', session(...stages, STOP, '7:00,exercise,stop,again,,KT,'), FIRST + 4, /Exercise stops twice, at 6:30 and at 7:00/],
    ['a stage that is skipped', session(stages[0] ?? '', '6:00,exercise,stage,3,,KT,', STOP), FIRST + 1, /stage 3 comes after stage 1; add the row for stage 2/],
    ['a stage that goes back', session(...stages, '6:10,exercise,stage,2,,KT,', STOP), FIRST + 3, /stage 2 at 6:10 comes after stage 3/],
    ['a stage that the sheet does not have', session(...stages, '6:10,exercise,stage,11,,KT,', STOP), FIRST + 3, /there is no stage 11; the lab sheet has 10 stages/],
    ['a change after the stop', session(...stages, STOP, '7:00,exercise,stage,4,,KT,'), FIRST + 4, /set at 7:00, and the test stopped at 6:30/],
    ['a reading long after the stop', session(...stages, STOP, '9:00,exercise,heart-rate,100,,KT,'), FIRST + 4, /is at 9:00, and the test stopped at 6:30; give it in recovery/],
    ['a speed that cannot be', session(...stages, '6:00,exercise,speed,91,km/h,KT,', STOP), FIRST + 3, /speed 91 km\/h is not possible; 0 to 30 km\/h/],
    ['a sex that the equations do not know', session('0:00,prepare,sex,x,,KT,', ...stages, STOP), FIRST, /female and male.*or - where it was not given/],
    ['an age that cannot be', session('0:00,prepare,age,220,,KT,', ...stages, STOP), FIRST, /Age.*not possible/],
    ['a height in the wrong unit', session('0:00,prepare,height,1.75,,KT,', ...stages, STOP), FIRST, /Height.*Is it 1\.75 m\?/],
    ['an override without initials', session('0:00,prepare,override,check-flow,,,no syringe', ...stages, STOP), FIRST, /nobody answers for this override; write the instructor’s initials/],
    ['an override without a reason', session('0:00,prepare,override,check-flow,,JB,', ...stages, STOP), FIRST, /this override has no reason/],
    ['a gait that is none', session(...stages, '6:00,exercise,gait,hop,,KT,', STOP), FIRST + 3, /"hop" is not a gait; write walk or run/],
    ['a posture that is none', session(...stages, STOP, '0:00,recovery,posture,upside down,,KT,'), FIRST + 4, /is not a posture; write standing/],
    ['an answer to no question', session(...stages, STOP, '0:00,worksheet,answer:hr-maks,190,/min,KT,'), FIRST + 4, /no question "hr-maks"; did you mean "hr-max"\?/],
    ['an answer without its row', session(...stages, STOP, '0:00,worksheet,answer:stage-vo2,16,mL/kg/min,KT,'), FIRST + 4, /answered row by row; write for example answer:stage-vo2\/stage-1/],
    ['an answer in a row that is none', session(...stages, STOP, '0:00,worksheet,answer:stage-vo2/stage-12,16,mL/kg/min,KT,'), FIRST + 4, /has no row "stage-12"/],
    ['a row where there are none', session(...stages, STOP, '0:00,worksheet,answer:hr-max/1,190,/min,KT,'), FIRST + 4, /has no rows; write answer:hr-max/],
    ['an open quote', `${HEADING}\n0:00,rest,heart-rate,"70,,KT,\n1:00,rest,rpe,6,,KT,\n`, 2, /quotation mark/],
    ['a decimal comma that splits a value', session(...stages, '3:10,exercise,vo2,2,41,L/min,KT,x', STOP), FIRST + 3, /has 8 fields and the heading 7; put a value that holds the separator in quotes/],
  ];
  it.each(cases)('%s', (_name, csv, line, says) => {
    const problem = refusal(csv);
    expect(replayProblemText(problem)).toMatch(says);
    expect(problem.line).toBe(line);
    expect(problem.file).toBe('session.csv');
  });
  it('counts lines as an editor does, over a value of two lines', () => {
    const csv = session('1:00,rest,note,"one\ntwo",,KT,', ...stages, '4:75,exercise,heart-rate,120,,KT,', STOP);
    expect(csv.split('\n')[refusal(csv).line - 1]).toMatch(/^4:75/);
  });
  it('whatever the text, it is a session or a problem', () => {
    const cell = fc.oneof(fc.constantFrom('0:00', '3:00', '', '-', 'exercise', 'recovery', 'stop', 'stage', 'heart-rate', '2', '150', 'answer:hr-max', 'L/min', '"', ';'), fc.string({ maxLength: 8 }));
    fc.assert(
      fc.property(fc.array(fc.array(cell, { minLength: 4, maxLength: 7 }), { maxLength: 8 }), (rows) => {
        const csv = session(...stages, STOP, ...rows.map((row) => row.join(',')));
        let said: string;
        try {
          said = replayProblemText(refusal(csv));
        } catch (cause) {
          said = (cause as Error).message;
        }
        return said.includes('line ') || said.includes('it is wrong');
      }),
      { numRuns: 300 },
    );
  });
});

describe('forms of the file', () => {
  const plain = fixture('r-07.csv');
  it('byte-order mark, Windows line ends, blank lines, empty columns behind', () => {
    expect(replayed(`\uFEFF${plain.trim().split('\n').map((line) => `${line},,`).join('\r\n')}\r\n\r\n,,,,,,\r\n`).replay).toEqual(replayed(plain).replay);
  });
  it('semicolons and tabs', () => {
    for (const separator of [';', '\t']) expect(replayed(plain.replaceAll(',', separator)).replay).toEqual(replayed(plain).replay);
  });
  it('rows in any order, as long as one moment’s amendments and one student’s answers keep theirs', () => {
    const [heading = '', ...rows] = plain.trim().split('\n');
    const phase = (row: string): string => row.split(',')[1] ?? '';
    const mixed = [...rows.filter((row) => phase(row) === 'recovery').toReversed(), ...rows.filter((row) => phase(row) === 'exercise'), ...rows.filter((row) => phase(row) === 'rest').toReversed(), ...rows.filter((row) => phase(row) === 'prepare'), ...rows.filter((row) => phase(row) === 'worksheet')];
    const facts = (csv: string) => replayed(csv).replay.batches.flatMap(({ author, drafts }) => drafts.map((draft) => JSON.stringify([author, draft]))).toSorted();
    expect(facts([heading, ...mixed].join('\n'))).toEqual(facts(plain));
  });
  it('columns in another order, and those that may be left out', () => {
    const { state } = replayed(['quantity,value,time,phase', 'stop,tired,0:50,exercise', 'heart-rate,150,0:50,exercise'].join('\n'));
    expect(state.stop?.reason).toBe('tired');
    expect(state.slots.get('exercise/s1/stop/heart-rate')?.current?.value).toBe(150);
  });
  it('a line that begins with # is the writer’s own', () => {
    expect(replayed(session('# practice run', ...stages, STOP)).state.stages.length).toBe(3);
  });
});

describe('time', () => {
  it('Rest at 10:00, Exercise one minute after the last row of Rest, recovery at the stop', () => {
    const { state } = replayed(session('4:00,rest,heart-rate,70,,KT,', ...stages, STOP, '1:00,recovery,heart-rate,130,,KT,'));
    expect(state.starts).toEqual({ rest: 600_000, exercise: 900_000, recovery: 1_290_000, closed: 1_350_000 });
  });
  it('later where Prepare took longer', () => {
    expect(replayed(session('12:20,prepare,humidity,40,%,KT,', ...stages, STOP)).state.starts.rest).toBe(13 * 60_000);
  });
  it('facts stand in the order of their moments', () => {
    const taken = replayed(fixture('r-07.csv')).replay.batches.flatMap((batch) => batch.drafts.map((draft) => draft.taken));
    expect(taken).toEqual(taken.toSorted((a, b) => a - b));
  });
  it('every fact has the shape of its kind and is allowed at its place', () => {
    const { replay, state } = replayed(fixture('m-12.csv'));
    const { readOnly: _closed, ...open } = state;
    for (const draft of replay.batches.flatMap((batch) => batch.drafts)) {
      expect(sessionKinds[draft.kind].safeParse(draft.data).success, draft.kind).toBe(true);
      if (draft.kind === 'reading-taken') expect(decideSession(open as typeof state, draft, { now: state.starts.closed ?? 0, author: 'KT' }).ok).toBe(true);
    }
  });
});

describe('the ergometer', () => {
  it('rows of one moment are one fact; settings that are the plan’s own are not written again', () => {
    const { replay } = replayed(session('0:00,exercise,stage,1,,KT,', '0:00,exercise,speed,1.7,mph,KT,', '0:00,exercise,grade,10,%,KT,', '3:00,exercise,stage,2,,KT,', '3:00,exercise,speed,4.2,km/h,KT,', '3:00,exercise,grade,12,%,KT,', '5:00,exercise,stop,tired,,KT,'));
    const facts = replay.batches.flatMap((batch) => batch.drafts).filter((draft) => ['exercise-started', 'stage-changed', 'setting-recorded'].includes(draft.kind));
    expect(facts.map(({ kind, data }) => [kind, data])).toEqual([
      ['exercise-started', {}],
      ['stage-changed', { stage: 2, settings: { speed: { typed: '4.2', unit: 'km/h' } } }],
    ]);
  });
  it('the start carries the first stage’s own settings', () => {
    expect(replayed(session('0:00,exercise,speed,3,km/h,KT,', STOP.replace('6:30', '2:00'))).state.stages[0]?.actual.speed).toMatchObject({ value: 3 });
  });
  it('a setting within a stage is recorded for it', () => {
    const { state } = replayed(session(...stages, '4:10,exercise,speed,2.4,mph,KT,', STOP));
    // 2.4 mph × 1.609344
    expect(state.stages[1]?.actual.speed?.value).toBeCloseTo(3.8624256, 9);
    expect(state.stages[1]?.differsFromPlan).toBe(true);
    expect(state.stages[2]?.differsFromPlan).toBe(false);
  });
  it('a speed without a unit is in the lab sheet’s unit, and that is said', () => {
    const { state, replay } = replayed(session(...stages, '6:00,exercise,speed,3.0,,KT,', STOP));
    expect(state.stages[2]?.actual.speed).toMatchObject({ typed: '3.0', unit: '[mi_i]/h' });
    expect(replay.warnings.some(({ text }) => /Speed 3\.0 has no unit; it is taken as mph/.test(text))).toBe(true);
  });
  it('without stage rows, settings that are the next stage’s tell when it was set', () => {
    const { state } = replayed(session('0:00,exercise,speed,1.7,mph,KT,', '3:25,exercise,speed,2.5,mph,KT,', '3:25,exercise,grade,12,%,KT,', STOP));
    expect(state.stages.map(({ number, changedAt, assumed }) => [number, changedAt, assumed])).toEqual([[1, 0, false], [2, 205_000, true], [3, 360_000, true]]);
  });
  it('a stop at the very end of a stage is no change, and the stage is complete', () => {
    const { state } = replayed(session('6:00,exercise,stop,tired,,KT,', '6:10,exercise,vo2,1.9,L/min,KT,'));
    expect(state.stages.map(({ number, completed }) => [number, completed])).toEqual([[1, true], [2, true]]);
    expect(state.slots.get('exercise/s2/end/vo2')?.current?.value).toBe(1.9);
  });
  it('a stage that is held long after its time is said', () => {
    expect(replayed(session('0:00,exercise,stage,1,,KT,', '3:00,exercise,stage,2,,KT,', '8:00,exercise,stop,tired,,KT,')).replay.warnings.some(({ text }) => /No row says that stage 3 was set/.test(text))).toBe(true);
  });
  it('a file within the first stage needs no stage row', () => {
    expect(replayed(session('2:30,exercise,stop,tired,,KT,')).replay.warnings.some(({ text }) => /taken to have been set/.test(text))).toBe(false);
  });
});

describe('readings find their places', () => {
  const key = (csv: string, quantity: string): Record<string, string | undefined> => Object.fromEntries([...replayed(csv).state.slots.values()].filter((slot) => slot.slot.quantity === quantity && slot.readings.length > 0).map((slot) => [slot.key, slot.current?.typed]));
  it('each minute takes its own pulse, also where more were counted', () => {
    const pulses = ['0:30', '1:00', '1:30', '2:00', '2:30', '3:00'].map((time, index) => `${time},exercise,heart-rate,${100 + index},,KT,`);
    expect(key(session('0:00,exercise,stage,1,,KT,', ...pulses, '3:00,exercise,stage,2,,KT,', '4:00,exercise,stop,tired,,KT,'), 'heart-rate')).toMatchObject({ 'exercise/s1/m1/heart-rate': '101', 'exercise/s1/m2/heart-rate': '103', 'exercise/s1/m3/heart-rate': '105' });
  });
  it('in recovery a pulse of 0:30 is neither that of 0:00 nor that of 1:00', () => {
    expect(key(session(...stages, STOP, '0:30,recovery,heart-rate,170,,KT,', '1:10,recovery,heart-rate,150,,KT,'), 'heart-rate')).toEqual({ 'recovery/@0:30/heart-rate': '170', 'recovery/m1/heart-rate': '150' });
  });
  it('a gas mean written in the next stage belongs to the one before', () => {
    expect(key(session(...stages, '3:40,exercise,vo2,1.2,,KT,', '6:20,exercise,vo2,1.7,,KT,', '6:50,exercise,vo2,1.9,,KT,', STOP), 'vo2')).toEqual({ 'exercise/s1/end/vo2': '1.2', 'exercise/s2/end/vo2': '1.7', 'exercise/s3/stop/vo2': '1.9' });
  });
  it('a later row never takes an earlier one’s place', () => {
    expect(key(session(...stages, '3:10,exercise,vo2,1.2,,KT,', '3:30,exercise,vo2,1.3,,KT,', STOP), 'vo2')).toEqual({ 'exercise/s1/end/vo2': '1.2', 'exercise/s2/@3:30/vo2': '1.3' });
  });
  it('a second row of the same moment and author amends; both stay', () => {
    const slot = replayed(session(...stages, '3:10,exercise,vo2,1.2,,KT,', '3:10,exercise,vo2,1.3,,kt,misread', STOP)).state.slots.get('exercise/s1/end/vo2');
    expect(slot?.readings.map((reading) => reading.typed)).toEqual(['1.2', '1.3']);
    expect(slot?.current).toMatchObject({ typed: '1.3', note: 'misread' });
  });
  it('another author’s stands beside it', () => {
    const slot = replayed(session('0:00,prepare,recorder,KT,,KT,', ...stages, '3:00,exercise,heart-rate,120,,KT,', '3:00,exercise,heart-rate,124,,ML,', STOP)).state.slots.get('exercise/s1/m3/heart-rate');
    expect(slot?.differ).toBe(true);
    expect(slot?.current?.typed).toBe('120');
  });
  it('not taken, then taken; taken, then not', () => {
    const after = replayed(session(...stages, '3:00,exercise,heart-rate,-,,KT,strap', '3:00,exercise,heart-rate,120,,KT,', STOP)).state.slots.get('exercise/s1/m3/heart-rate');
    expect(after?.current?.typed).toBe('120');
    expect(after?.notTaken).toBeUndefined();
    const before = replayed(session(...stages, '3:00,exercise,heart-rate,120,,KT,', '3:00,exercise,heart-rate,\u2013,,KT,it was the cadence', STOP)).state.slots.get('exercise/s1/m3/heart-rate');
    expect(before?.current).toBeUndefined();
    expect(before?.notTaken?.reason).toBe('it was the cadence');
    expect(before?.readings.map(({ typed, struck }) => [typed, struck?.reason])).toEqual([['120', 'it was the cadence']]);
  });
  it('a pulse of 0:00 in recovery is that of the stop where Exercise has none, and stands beside it otherwise', () => {
    expect(key(session(...stages, STOP, '0:00,recovery,heart-rate,185,,KT,'), 'heart-rate')).toEqual({ 'exercise/s3/stop/heart-rate': '185' });
    expect(key(session(...stages, STOP, '6:30,exercise,heart-rate,183,,KT,', '0:00,recovery,heart-rate,185,,KT,'), 'heart-rate')).toEqual({ 'exercise/s3/stop/heart-rate': '183', 'recovery/@0:00/heart-rate': '185' });
  });
  it('readings at the stop and just after it answer the stop', () => {
    expect(key(session(...stages, STOP, '6:30,exercise,rpe,18,,KT,', '6:40,exercise,vo2,2.1,,KT,'), 'rpe')).toEqual({ 'exercise/s3/stop/rpe': '18' });
  });
});

describe('the stop', () => {
  const reason = (row: string, ...more: readonly string[]) => replayed(session(...stages, ...more, row)).state.stop;
  it.each([
    ['volitional exhaustion', 'Volitional exhaustion', false],
    ['Chest pain or pressure', 'Chest pain or pressure', true],
    ['leg fatigue', 'Leg fatigue', false],
    ['felt dizzy', 'felt dizzy', true],
    ['could not go on, very breathless', 'could not go on, very breathless', false],
    ['unusual breathlessness', 'unusual breathlessness', true],
    ['exhausted, no symptoms', 'exhausted, no symptoms', false],
    ['tired out without pain or dizziness', 'tired out without pain or dizziness', false],
    ['symptom', 'symptom', true],
    ['nausea', 'nausea', true],
    ['asked to stop', 'Asked to stop', false],
  ])('"%s"', (text, said, symptom) => {
    expect(reason(`6:30,exercise,stop,${text.includes(',') ? `"${text}"` : text},,KT,`)).toMatchObject({ reason: said, symptom });
    expect(stopReason(sheet, text)).toMatchObject({ reason: said, symptom });
  });
  it('the reason may stand in the note', () => expect(reason('6:30,exercise,stop,yes,,KT,leg fatigue')).toMatchObject({ reason: 'Leg fatigue', symptom: false }));
  it('value and note together', () => expect(reason('6:30,exercise,stop,leg fatigue,,KT,left calf')).toMatchObject({ reason: 'Leg fatigue (left calf)', symptom: false }));
  it('no reason', () => expect(reason('6:30,exercise,stop,,,KT,')?.reason).toBeUndefined());
  it('no reason, but a symptom noted just before', () => expect(reason('6:30,exercise,stop,,,KT,', '6:10,exercise,symptom,tight chest,,KT,')).toMatchObject({ reason: 'tight chest', symptom: true }));
});

describe('whose answer it is', () => {
  const owners = (...rows: readonly string[]) => replayed(session(...stages, STOP, ...rows)).replay.worksheets.map(({ student, answers }) => [student, answers.map(({ draft }) => draft.data.typed)]);
  it('by the initials of the key row, wherever the rows stand', () => {
    expect(owners('0:00,worksheet,answer:hr-max,1,/min,ML,', '0:00,worksheet,student-key,S-1,,KT,', '0:00,worksheet,student-key,S-2,,ML,', '0:00,worksheet,answer:hr-max,2,/min,KT,')).toEqual([['S-1', ['2']], ['S-2', ['1']]]);
  });
  it('by the key itself', () => {
    expect(owners('0:00,worksheet,student-key,S-1,,,', '0:00,worksheet,student-key,S-2,,,', '0:00,worksheet,answer:hr-max,1,/min,s-1,')).toEqual([['S-1', ['1']], ['S-2', []]]);
  });
  it('by the key row last above it', () => {
    expect(owners('0:00,worksheet,student-key,S-1,,KT,', '0:00,worksheet,answer:hr-max,1,/min,,', '0:00,worksheet,student-key,S-2,,KT,', '0:00,worksheet,answer:hr-max,2,/min,,', '0:00,worksheet,answer:vo2-peak,3,,KT,')).toEqual([['S-1', ['1']], ['S-2', ['2', '3']]]);
  });
  it('by the only key, also from Prepare and below', () => {
    expect(owners('0:00,worksheet,answer:hr-max,1,/min,,', '0:00,prepare,student-key,S-1,,KT,')).toEqual([['S-1', ['1']]]);
  });
  it('without any key, by its initials, and that is said', () => {
    expect(owners('0:00,worksheet,answer:hr-max,1,/min,ML,', '0:00,worksheet,answer:hr-max,2,/min,,')).toEqual([['ML', ['1']], ['unnamed', ['2']]]);
  });
  it('keeps unit, working and row', () => {
    const { replay } = replayed(session(...stages, STOP, '0:00,worksheet,student-key,S-1,,KT,', '1:00,worksheet,answer:stage-vo2/2,24.7,mL/kg/min,KT,"0.1 × 67 + 1.8 × 67 × 0.12 + 3.5"', '2:00,worksheet,answer:effort/conclusion,max,,KT,', '2:00,worksheet,answer:category,-,,KT,'));
    expect(replay.worksheets[0]?.answers.map(({ draft }) => draft)).toEqual([
      { kind: 'answer-given', data: { question: 'stage-vo2', row: 'stage-2', typed: '24.7', unit: 'mL/kg/min', working: '0.1 × 67 + 1.8 × 67 × 0.12 + 3.5' }, taken: 60_000 },
      { kind: 'answer-given', data: { question: 'effort', row: 'conclusion', typed: 'max' }, taken: 120_000 },
    ]);
  });
  it('an answer between two keys with no sign of whose it is, is refused', () => {
    expect(replayProblemText(refusal(session(...stages, STOP, '0:00,worksheet,answer:hr-max,1,/min,,', '0:00,worksheet,student-key,S-1,,KT,', '0:00,worksheet,student-key,S-2,,ML,')))).toMatch(/line 10: nobody can tell whose answer this is/);
  });
});

describe('the head of the sheet', () => {
  it.each([['m', 'male'], ['F', 'female'], ['male', 'male'], ['Female', 'female'], ['M', 'male']])('sex %s', (typed, sex) => {
    expect(replayed(session(`0:00,prepare,sex,${typed},,KT,`, ...stages, STOP)).state.sex).toBe(sex);
  });
  it('a detail that was not given, with its reason', () => {
    const { state } = replayed(session('0:00,prepare,height,-,,KT,no tape', ...stages, STOP));
    expect(state.height).toBeUndefined();
    expect(state.notes.some(({ text }) => text === 'Height not given: no tape')).toBe(true);
  });
  it('an amended mass: the later counts, the earlier stays', () => {
    const { state } = replayed(session('0:00,prepare,mass,72.5,kg,KT,', ...stages, STOP));
    expect(state.mass).toBe(72.5);
    expect(state.detailHistory).toMatchObject([{ detail: 'mass', typed: '70' }]);
  });
  it('screening, consent and checks, where the file has them', () => {
    const { state } = replayed(session('0:00,prepare,screening,go,,JB,', '0:00,prepare,consent,yes,,KT,', '1:00,prepare,check:flow,2.96,L,KT,', '1:00,prepare,check:treadmill,yes,,KT,', '1:00,prepare,check:gas-span,-,,KT,', ...stages, STOP));
    expect(state.screening).toMatchObject({ outcome: 'go', by: 'JB' });
    expect(state.consent).toBe(true);
    expect(state.checks).toMatchObject({ flow: { done: true, value: 2.96 }, treadmill: { done: true }, 'gas-span': { done: false } });
  });
  it('screening that the file does not have is not made up', () => {
    expect(replayed(session(...stages, STOP)).state.screening).toBeUndefined();
  });
  it('gait, rail, posture, symptom, note', () => {
    const { state } = replayed(session(...stages, '6:05,exercise,gait,jogging,,KT,', '6:10,exercise,handrail,held,,KT,', '6:15,exercise,symptom,,,KT,calf sore', '6:20,exercise,note,mask slipped,,KT,', STOP, '3:00,recovery,posture,seated,,KT,'));
    expect(state.stages[2]).toMatchObject({ gait: 'run', handrail: true });
    expect(state.symptoms.map(({ text }) => text)).toEqual(['calf sore']);
    expect(state.notes.some(({ text }) => text === 'mask slipped')).toBe(true);
    expect(state.postures.at(-1)?.posture).toBe('sitting');
  });
});
