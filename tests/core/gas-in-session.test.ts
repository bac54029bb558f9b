/** A gas exchange file in a session: kept, read again, worked out, thresholds placed beside the automatic ones. */
import * as fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { applyMapping, guessMapping, keepSeries, readGasTable, readKept, readSeries, type GasTable } from '../../core/gas/gas.ts';
import { chainHash, CHAIN_START, sha256Hex } from '../../core/record/chain.ts';
import { bodyOf, type RecordEvent, type StoredEvent } from '../../core/record/event.ts';
import { castOf } from '../../core/rehearsal/driver.ts';
import { bodyAt } from '../../core/rehearsal/actions.ts';
import { joinRehearsedBreaths, rehearsedBreathFile, type BreathFile } from '../../core/rehearsal/breath-file.ts';
import { resultsOf } from '../../core/results/results.ts';
import { decideSession } from '../../core/session/decide.ts';
import { lookUp } from '../../core/worksheet/book.ts';
import { buildWorksheetFile, seriesTextOf, worksheetFileText } from '../../core/worksheet/file.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import { makeGasFile } from './gas-file-maker.ts';
import { textOf } from './lab-sheets.ts';
import { RehearsalRun } from './rehearsal-run.ts';
import { WorksheetBuilder } from './worksheet-builder.ts';

const readTable = (text: string): GasTable => {
  const table = readGasTable(text);
  if (!table.ok) throw new Error(table.error.message);
  return table.value;
};

let run: RehearsalRun;
let file: BreathFile;
let text: string;
const textOfSeries = (hash: string): string | undefined => (hash === sha256Hex(text) ? text : undefined);

beforeAll(() => {
  run = new RehearsalRun('R-01', 11, { text: textOf('cycle-ramp-maximal') }).run(5_000);
  const made = rehearsedBreathFile(run.state, run.now);
  const joined = joinRehearsedBreaths(run.state, run.now);
  if (!made.ok || !joined.ok) throw new Error('the rehearsal has a breath file');
  file = made.value;
  text = joined.value.text;
  run.write(joined.value.draft(sha256Hex(text)), 'AB');
});

describe('a ramp that was rehearsed, its simulated breath file joined after it was closed', () => {
  it('finds the thresholds that the simulated participant was given', () => {
    const { gas, book } = resultsOf(run.state, textOfSeries);
    expect(gas?.reason).toBeUndefined();
    const cast = castOf(run.state);
    const truth = cast && bodyAt(run.state, cast).gas;
    const [first, second] = gas?.found?.thresholds ?? [];
    // 5 % of the maximum: what is asked of the first threshold on noisy breaths; the same is taken for the second.
    expect(Math.abs((first?.value ?? 0) - (truth?.first ?? 9))).toBeLessThan(0.05 * (truth?.maximum ?? 0));
    expect(Math.abs((second?.value ?? 0) - (truth?.second ?? 9))).toBeLessThan(0.05 * (truth?.maximum ?? 0));
    expect(first?.from).toBe('program');
    expect(gas?.found?.rampBecause).toContain('stage 5');
    expect(lookUp(book, 'threshold.vt1')).toMatchObject({ known: true, value: first?.value });
    // The file is of the very test that the readings on the sheet are of: 30-s means agree within the stated breath noise.
    const typed = lookUp(book, 'peak.vo2');
    expect(Math.abs((gas?.found?.peak?.value ?? 0) - (typed.known ? Number(typed.value) : 9))).toBeLessThan(0.1);
  });

  it('without the rows of the file the thresholds are void, with that as the reason', () => {
    const { gas, book } = resultsOf(run.state);
    expect(gas?.reason).toContain('not with this record');
    expect(lookUp(book, 'threshold.vt1')).toMatchObject({ known: false, reason: gas?.reason });
  });

  it('a placed threshold stands beside the automatic one and does not move what is marked', () => {
    const before = resultsOf(run.state, textOfSeries).gas?.found?.thresholds[0];
    run.write({ kind: 'threshold-placed', data: { threshold: 'vt1', method: 'v-slope', vo2: 1.4, note: 'by eye' } }, 'CD');
    run.write({ kind: 'threshold-placed', data: { threshold: 'vt2', method: 'v-slope', vo2: 2.3 } }, 'CD');
    const { gas, book } = resultsOf(run.state, textOfSeries);
    const [first, second] = gas?.found?.thresholds ?? [];
    expect(first?.value).toBe(before?.value);
    expect(first?.automatic?.vo2).toBe(before?.value);
    expect(first?.placed).toMatchObject({ vo2: 1.4, author: 'CD', note: 'by eye' });
    expect(first?.methods['v-slope'].chosen?.at?.vo2).toBe(1.4);
    expect(second?.methods['v-slope'].chosen?.at?.vo2).toBe(2.3);
    // Its figure has carbon dioxide output across: the lines meet where that passes with the uptake.
    expect(second?.methods['v-slope'].chosen?.x?.at).toBeGreaterThan(2.3);
    expect(lookUp(book, 'threshold.vt1-placed')).toMatchObject({ known: true, value: 1.4 });
    const seq = run.state.placedThresholds.find(({ threshold }) => threshold === 'vt1')?.seq ?? -1;
    run.write({ kind: 'event-struck', data: { target: seq, reason: 'placed by mistake' } }, 'CD');
    expect(resultsOf(run.state, textOfSeries).gas?.found?.thresholds[0].placed).toBeUndefined();
  });

  it('without a file the thresholds are void, and the reason says so', () => {
    expect(lookUp(resultsOf({ ...run.state, series: [] }, textOfSeries).book, 'threshold.vt1')).toMatchObject({ known: false, reason: 'no gas exchange file is joined to this session' });
  });

  it('a closed session takes nothing else', () => {
    const context = { now: run.now, author: 'AB' };
    const refused = decideSession(run.state, { kind: 'note-added', data: { text: 'too late' } }, context);
    expect(refused).toMatchObject({ ok: false, error: { code: 'read-only' } });
    const strike = decideSession(run.state, { kind: 'event-struck', data: { target: 20, reason: 'no' } }, context);
    expect(strike).toMatchObject({ ok: false, error: { code: 'read-only' } });
  });

  it('where the sheet has no value for a gas place, the file gives it; what a person wrote stands', () => {
    const without = { ...run.state, slots: new Map([...run.state.slots].map(([key, slot]) => [key, slot.slot.quantity === 'vo2' && slot.slot.stage === 8 ? { ...slot, current: undefined, readings: [] } : slot])) } as typeof run.state;
    const results = resultsOf(without, textOfSeries);
    const recorded = resultsOf(run.state, textOfSeries);
    const stage = (of: typeof results): number => of.stages.find((row) => row.stage.number === 8)?.vo2 ?? NaN;
    expect(Math.abs(stage(results) - stage(recorded))).toBeLessThan(0.15);
    expect(stage(results)).not.toBe(stage(recorded));
    expect(results.stages.find((row) => row.stage.number === 9)?.vo2).toBe(recorded.stages.find((row) => row.stage.number === 9)?.vo2);
    expect(results.warnings.some((warning) => warning.includes('nobody wrote on the sheet'))).toBe(true);
  });
});

describe('the handed-in file', () => {
  const storedOf = (events: readonly RecordEvent[]): StoredEvent[] => {
    const stored: StoredEvent[] = [];
    for (const event of events) stored.push({ body: bodyOf(event), hash: chainHash(stored.at(-1)?.hash ?? CHAIN_START, bodyOf(event)) });
    return stored;
  };
  const read = (events: readonly RecordEvent[], opened: number, series: { hash: string; text: string } | undefined) => {
    // The worksheet was opened when the session had so many events; what came later is in the file all the same.
    const sheet = new WorksheetBuilder({ id: 'session-rehearsed', stored: storedOf(events.slice(0, opened)) }, 'S-1');
    const handed = buildWorksheetFile({ session: { events: storedOf(events) }, worksheet: { events: sheet.stored }, version: '0', ...(series ? { series } : {}) });
    const checked = readWorksheetFile(worksheetFileText(handed));
    if (!checked.ok) throw new Error(checked.error.message);
    return checked.value;
  };
  const closedAt = (): number => run.events.findIndex(({ kind }) => kind === 'session-closed') + 1;

  it('carries the rows, and stays good where the worksheet was opened before they were joined', () => {
    const checked = read(run.events, closedAt(), { hash: sha256Hex(text), text });
    expect(checked.findings.filter(({ level }) => level === 'refusal')).toEqual([]);
    expect(checked.findings.map(({ code }) => code)).not.toContain('series-missing');
    expect(seriesTextOf(checked.file)(sha256Hex(text))).toBe(text);
  });

  it('with rows that were changed it is refused; without them a warning says so', () => {
    const changed = read(run.events, closedAt(), { hash: sha256Hex(text), text: text.replace(/\t1/, '\t2') });
    expect(changed.findings).toContainEqual(expect.objectContaining({ code: 'altered', level: 'refusal' }));
    expect(seriesTextOf(changed.file)(sha256Hex(text))).toBeUndefined();
    expect(read(run.events, closedAt(), undefined).findings).toContainEqual(expect.objectContaining({ code: 'series-missing', level: 'warning' }));
  });

  it('anything else that was added after the closing is refused', () => {
    const last = run.events.at(-1);
    const added = { ...last, seq: run.events.length, kind: 'note-added', data: { text: 'slipped in' }, command: 'command-slipped' } as RecordEvent;
    expect(read([...run.events, added], closedAt(), { hash: sha256Hex(text), text }).findings).toContainEqual(expect.objectContaining({ code: 'not-this-session', level: 'refusal' }));
    expect(read(run.events, closedAt() - 1, { hash: sha256Hex(text), text }).findings).toContainEqual(expect.objectContaining({ code: 'not-this-session', level: 'refusal' }));
  });
});

describe('what is kept of a file', () => {
  it('holds no line above the headings and no column that was not asked for', () => {
    const table = readTable(file.text.replace('not a test', 'NAME-IN-THE-HEAD').replace('VCO2;', 'REMARK-COLUMN;').replaceAll('start of exercise', 'x'));
    const { mapping } = guessMapping(table);
    const kept = keepSeries(table, mapping);
    expect(kept.ok && kept.value.text).not.toMatch(/NAME-IN-THE-HEAD|REMARK-COLUMN/);
  });

  it('re-reads to the same series, whatever the form of the file was', () => {
    fc.assert(
      fc.property(
        fc.record({
          delimiter: fc.constantFrom(',', ';', '\t'), decimal: fc.constantFrom('.', ','), lineEnd: fc.constantFrom('\n', '\r\n'), bom: fc.boolean(),
          preamble: fc.constantFrom('none', 'short', 'padded', 'table'), units: fc.constantFrom('row', 'heading', 'none'), time: fc.constantFrom('m:ss', 'h:mm:ss', 's', 'min', 'time-of-day'),
          uptake: fc.constantFrom('mL/min', 'L/min'), rows: fc.constantFrom('per-breath', 'averaged'), blankLines: fc.boolean(), repeatedHeadings: fc.boolean(), quoted: fc.boolean(),
          missing: fc.constantFrom('', '-', 'NaN'), trailingDelimiter: fc.boolean(), turn: fc.nat(6), seed: fc.nat(1000), length: fc.integer({ min: 20, max: 60 }),
        }),
        (form) => {
          const made = makeGasFile((form.delimiter === ',' && form.decimal === ',' ? { ...form, delimiter: ';' } : form) as never);
          const table = readGasTable(made.text);
          fc.pre(table.ok); // refusals are tested elsewhere
          if (!table.ok) return;
          const { mapping, missing } = guessMapping(table.value);
          fc.pre(missing.length === 0);
          const options = { massKg: 70, room: { pressure: 750, temperature: 21 } };
          const series = applyMapping(table.value, mapping, options);
          const kept = keepSeries(table.value, mapping);
          if (!kept.ok) throw new Error(kept.error.message);
          // As it comes back from an event: through JSON.
          const again = readSeries(kept.value.text, JSON.parse(JSON.stringify(kept.value.mapping)), options);
          expect(again).toEqual(series);
          // Kept again it is the same text.
          const back = readKept(kept.value.text);
          expect(back.ok && keepSeries(back.value, kept.value.mapping)).toMatchObject({ value: { text: kept.value.text } });
        },
      ),
      { numRuns: 80 },
    );
  });

  it('a text or a mapping of another form is refused with the reason', () => {
    expect(readKept('hello')).toMatchObject({ ok: false, error: { code: 'series-damaged' } });
    expect(readKept(`${text.split('\n')[0]}\nx\t1\t2\n`)).toMatchObject({ ok: false, error: { code: 'series-damaged' } });
    expect(readSeries(text, { columns: [] })).toMatchObject({ ok: false, error: { code: 'mapping-damaged' } });
    expect(readSeries(text, { columns: [{ column: 0, heading: 'VO2', quantity: 'vo2', unit: 'furlong' }], timeForm: 's', rows: { kind: 'per-breath' } })).toMatchObject({ ok: false, error: { code: 'mapping-damaged' } });
  });
});
