/**
 * Every lab sheet against a simulated participant, from Prepare to the closed session, and on to a worksheet that is exported,
 * opened again and marked. Two or three answers a sheet are worked out here from the record's own readings by the published equation.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { chainHash, CHAIN_START, sha256Hex } from '../../core/record/chain.ts';
import { bodyOf, type StoredEvent } from '../../core/record/event.ts';
import { bodyAt } from '../../core/rehearsal/actions.ts';
import { joinRehearsedBreaths } from '../../core/rehearsal/breath-file.ts';
import { castOf } from '../../core/rehearsal/driver.ts';
import { rehearsalParticipants } from '../../core/rehearsal/participant.ts';
import type { SessionState } from '../../core/session/state.ts';
import { labCommand } from '../../electron/lab/command.ts';
import { writeWorksheet } from '../../electron/pdf/write-worksheet.ts';
import { pdfText } from './pdf-text.ts';
import { RehearsalRun } from './rehearsal-run.ts';
import { sheetIds, textOf } from './lab-sheets.ts';
import { WorksheetBuilder } from './worksheet-builder.ts';

const folder = mkdtempSync(path.join(os.tmpdir(), 'stagecall-rehearsed-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const taken = (state: SessionState, key: string): number => state.slots.get(key)?.current?.value ?? NaN;
const vo2s = (state: SessionState): readonly number[] => [...state.slots.values()].filter((slot) => slot.slot.phase === 'exercise' && slot.slot.quantity === 'vo2').map((slot) => slot.current?.value ?? 0);
const thresholdGiven = (state: SessionState): number | undefined => {
  const cast = castOf(state);
  return cast && bodyAt(state, cast).gas.first;
};
const number = (value: number, decimals: number): string => value.toFixed(decimals);

/** Answers by the published equations, from what the record holds. */
const answers: Readonly<Record<string, (state: SessionState) => readonly (readonly [place: string, typed: string, unit: string])[]>> = {
  'treadmill-maximal-bruce': (state) => [
    ['hr-max', number(208 - 0.7 * (state.age ?? NaN), 0), '/min'],
    ['vo2-time', number((4.38 * ((state.stop?.taken ?? 0) - (state.starts.exercise ?? 0))) / 60_000 - 3.9, 1), 'mL/kg/min'],
  ],
  'cycle-submaximal-branching': (state) => [
    ['hr-max', number(208 - 0.7 * (state.age ?? NaN), 0), '/min'],
    ['target-heart-rate', number(0.6 * (208 - 0.7 * (state.age ?? NaN) - taken(state, 'rest/rest/heart-rate')) + taken(state, 'rest/rest/heart-rate'), 0), '/min'],
  ],
  'cycle-single-load-age-factor': (state) => [
    ['steady', number(((state.stages.at(-1)?.steady?.pair?.[0] ?? NaN) + (state.stages.at(-1)?.steady?.pair?.[1] ?? NaN)) / 2, 1), '/min'],
    ['load-cost', number((1.8 * Number(state.stages.at(-1)?.actual.load?.typed)) / (state.mass ?? NaN) + 7, 1), 'mL/kg/min'],
  ],
  'step-test-queens-college': (state) => [
    ['heart-rate', number(4 * taken(state, 'recovery/m0/pulse-count'), 0), '/min'],
    ['vo2max', number(65.81 - 0.1847 * 4 * taken(state, 'recovery/m0/pulse-count'), 1), 'mL/kg/min'],
  ],
  'cycle-bag-efficiency': (state) => {
    const of = (quantity: string): number => taken(state, `exercise/s1/end/${quantity}`);
    // The bag has 22 °C: 19.827 mmHg of water vapour.
    const factor = (((state.details.pressure?.value ?? NaN) - 19.827) / 760) * (273 / 295);
    const ve = ((of('bag-volume') * 60) / of('bag-time')) * factor;
    const [o, c] = [of('feo2') / 100, of('feco2') / 100];
    return [
      ['factor/stage-1', number(factor, 4), ''],
      ['ve-stpd/stage-1', number(ve, 2), 'L/min'],
      ['vo2/stage-1', number(((ve * (1 - o - c)) / 0.7904) * 0.2093 - ve * o, 3), 'L/min'],
    ];
  },
  'field-walk-one-mile': (state) => {
    const minutes = ((state.stop?.taken ?? 0) - (state.starts.exercise ?? 0)) / 60_000;
    return [
      ['speed', number(1609.344 / minutes, 1), 'm/min'],
      ['dolgener', number(88.768 - 0.0957 * (state.mass ?? NaN) * 2.2046 - 1.4537 * minutes - 0.1194 * taken(state, 'exercise/s1/stop/heart-rate'), 1), 'mL/kg/min'],
    ];
  },
  'cycle-ramp-maximal': (state) => [
    // What the simulated participant was given, not what was found.
    ['threshold', number((100 * (thresholdGiven(state) ?? NaN)) / Math.max(...vo2s(state)), 0), '%'],
    ['unloaded', number(150 + 6 * (state.mass ?? NaN), 0), 'mL/min'],
    ['vo2-peak', number((1000 * Math.max(...vo2s(state))) / (state.mass ?? NaN), 1), 'mL/kg/min'],
  ],
};

describe.each(sheetIds)('%s', (id) => {
  it('is rehearsed with every participant to the end, and nothing that fell due is left without an answer or a reason', () => {
    for (const { code } of rehearsalParticipants) {
      const { state } = new RehearsalRun(code, 11, { text: textOf(id) }).run(5_000);
      expect(state.phase, code).toBe('worksheet');
      const due = [...state.slots.values()].filter((slot) => slot.scheduled && !slot.scheduled.optional && slot.scheduled.missed < (state.starts.closed ?? 0));
      expect(due.length).toBeGreaterThan(5);
      expect(due.filter((slot) => !slot.current && !slot.notTaken).map((slot) => slot.key), code).toEqual([]);
    }
  }, 60_000);

  it('closed, exported, opened and marked; a rehearsal is marked as one', async () => {
    const run = new RehearsalRun('R-01', 11, { text: textOf(id) }).run(5_000);
    // Joined after the participant has left: the record is closed by then.
    const joined = id === 'cycle-ramp-maximal' ? joinRehearsedBreaths(run.state, run.now) : undefined;
    const series = joined?.ok ? { hash: sha256Hex(joined.value.text), text: joined.value.text } : undefined;
    if (joined?.ok && series) run.write(joined.value.draft(series.hash), 'rehearsal');
    const stored: StoredEvent[] = [];
    for (const event of run.events) stored.push({ body: bodyOf(event), hash: chainHash(stored.at(-1)?.hash ?? CHAIN_START, bodyOf(event)) });
    const sheet = new WorksheetBuilder({ id: 'session-rehearsed', stored }, 'S-400');
    const given = answers[id]?.(run.state) ?? [];
    expect(given.length).toBeGreaterThanOrEqual(2);
    for (const [place, typed, unit] of given) {
      expect(typed, place).not.toContain('NaN');
      sheet.answer(place, typed, unit === '' ? undefined : unit);
    }
    sheet.handIn();
    const bytes = await writeWorksheet({ session: { events: stored }, worksheet: { events: sheet.stored }, series, paper: 'A4', version: '0.1.0', wall: '2026-03-02T11:25:00+00:00' });
    expect(await pdfText(bytes)).toContain('Rehearsal against a simulated participant. Not a test.');
    const file = path.join(folder, `${id}.pdf`);
    writeFileSync(file, bytes);

    let out = '';
    const code = await labCommand(['mark', file, '--sheet', id, '--out', path.join(folder, `${id}.csv`), '--json'], { out: (text) => void (out += text), say: () => undefined, folder: os.tmpdir(), isTerminal: false });
    expect(code).toBe(0);
    const [marked] = (JSON.parse(out) as { files: readonly { status: string; student: string; total: number; questions: readonly { id: string; marks: number; outOf: number; verdict: string; reason: string; rows: readonly { row?: string; verdict: string; reason: string }[] }[] }[] }).files;
    expect(marked).toMatchObject({ status: 'marked', student: 'S-400' });
    for (const [place] of given) {
      const [question, row] = place.split('/');
      const mark = marked?.questions.find((one) => one.id === question);
      const found = row === undefined ? mark : mark?.rows.find((one) => one.row === row);
      expect(found?.verdict, `${place}: ${found?.reason}`).toBe('right');
    }
    // What was not answered earns nothing.
    const answered = new Set(given.map(([place]) => place.split('/')[0]));
    for (const question of marked?.questions ?? []) if (!answered.has(question.id)) expect(question.marks, question.id).toBe(0);
  }, 60_000);
});
