/** A gas exchange file named at the command line: joined, worked out, printed, and its thresholds marked. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { breaths, type BreathTest } from '../../core/rehearsal/breaths.ts';
import { rehearsalParticipants } from '../../core/rehearsal/participant.ts';
import { labCommand } from '../../electron/lab/command.ts';
import { pdfText } from '../core/pdf-text.ts';

const folder = mkdtempSync(path.join(os.tmpdir(), 'stagecall-lab-gas-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const session = path.join(import.meta.dirname, '../core/fixtures/cycle-ramp.csv');

async function lab(...args: readonly string[]): Promise<{ readonly code: number; readonly out: string; readonly said: string }> {
  let out = '';
  const said: string[] = [];
  const code = await labCommand(args, { out: (text) => void (out += text), say: (line) => void said.push(line), folder, isTerminal: false });
  return { code, out, said: said.join('\n') };
}

let test: BreathTest;
beforeAll(() => {
  const [someone] = rehearsalParticipants;
  if (!someone) throw new Error('there are simulated participants');
  // The ramp of the recorded session: one minute of rest in the file, four minutes unloaded, 20 W a minute.
  test = breaths({ ...someone, sex: 'female', mass: 60, age: 30, height: 165 }, { seed: 3, rest: 60, unloaded: 240, wattsPerMinute: 20 });
  const comma = (value: number, decimals: number): string => value.toFixed(decimals).replace('.', ',');
  const clock = (seconds: number): string => `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, '0')}`;
  const rows = test.breaths.map((one) => [clock(one.time), comma(1000 * one.vo2, 0), comma(1000 * one.vco2, 0), comma(one.ve, 1), one.heartRate, one.time > 60 && one.time < 63.5 ? 'Pedal' : ''].join(';'));
  writeFileSync(path.join(folder, 'breaths.txt'), ['\ufeffMade for a test;not a person', '', 't;VO2;VCO2;Air;HR;Event', 'min:s;mL/min;mL/min;L/min;1/min;', ...rows].join('\r\n'));
});

describe('replay --gas', () => {
  it('finds the thresholds, says every guess, and the question about them counts', async () => {
    const ran = await lab('replay', session, '--sheet', 'cycle-ramp-maximal', '--out', 'joined', '--gas', 'breaths.txt', '--gas-start', 'pedal', '--gas-columns', 'Air = ve L/min', '--json');
    expect(ran.said).toBe('');
    expect(ran.code).toBe(0);
    const { gas, voids, warnings, worksheets } = JSON.parse(ran.out) as {
      gas: { offsetSeconds: number; rows: number; vt1: { vo2: number; automatic: { vSlope: { lines: { slope: number }[] } } }; vt2: { vo2: number }; peakByAveraging: { rule: string; vo2: number | null }[]; oues: { slope: number }; ventilationSlope: { slope: number } };
      voids: readonly { question: string }[];
      warnings: readonly string[];
      worksheets: readonly { student: string; file: string }[];
    };
    expect(gas.rows).toBe(test.breaths.length);
    // Within 5 % of the highest uptake, as is asked of the first threshold at this noise.
    expect(Math.abs(gas.vt1.vo2 - test.truth.first)).toBeLessThan(0.05 * test.truth.maximum);
    expect(Math.abs(gas.vt2.vo2 - test.truth.second)).toBeLessThan(0.05 * test.truth.maximum);
    expect(gas.peakByAveraging.length).toBeGreaterThan(8);
    expect(gas.oues.slope).toBeGreaterThan(1000);
    expect(gas.ventilationSlope.slope).toBeGreaterThan(15);
    expect(voids.map(({ question }) => question)).not.toContain('threshold');
    expect(warnings.filter((text) => text.startsWith('breaths.txt:')).join('\n')).toMatch(/decimal comma[\s\S]*columns as told: Air = ve[\s\S]*marker “Pedal”/);

    // On paper, and marked from the handed-in file alone: this student answered 55 %.
    const file = worksheets.find(({ student }) => student === 'S-312')?.file ?? '';
    const page = await pdfText(readFileSync(file));
    expect(page).toContain('Gas exchange file');
    expect(page).toContain('Peak VO₂ by averaging');
    const marked = await lab('mark', file, '--sheet', 'cycle-ramp-maximal', '--out', 'marks.csv', '--json');
    const [one] = (JSON.parse(marked.out) as { files: { questions: { id: string; marks: number; verdict: string; reason: string }[] }[] }).files;
    const threshold = one?.questions.find(({ id }) => id === 'threshold');
    const percent = (100 * gas.vt1.vo2) / 2.3;
    expect(threshold?.verdict, threshold?.reason).toBe(Math.abs(55 - percent) <= 3 ? 'right' : Math.abs(55 - percent) <= 6 ? 'near' : 'wrong');
  }, 60_000);

  it.each([
    [['--gas', 'nowhere.txt'], /there is no file nowhere\.txt/],
    [['--gas-start', '1:00'], /name it with --gas FILE/],
    [['--gas', 'breaths.txt', '--gas-columns', 'Wind = ve'], /headings are “t”, “VO2”/],
    [['--gas', 'breaths.txt', '--gas-columns', 'Air = wind'], /no quantity “wind”/],
    [['--gas', 'breaths.txt', '--gas-columns', 't = ignore'], /Say which column is the time/],
    [['--gas', 'breaths.txt', '--gas-start', 'lunch'], /neither a time such as 5:00 nor a marker of the file \(“Pedal”/],
    [['--gas', session], /./],
  ])('%j is refused in one line', async (options, message) => {
    const ran = await lab('replay', session, '--sheet', 'cycle-ramp-maximal', '--out', 'refused', ...options);
    expect(ran.code).toBeGreaterThan(0);
    expect(ran.out).toBe('');
    expect(ran.said).toMatch(message);
    expect(ran.said.split('\n')).toHaveLength(1);
  });
});
