/** The printed worksheet: what is on the page, what is inside, and what anyone may have typed into it. */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import * as fc from 'fast-check';
import * as fontkit from 'fontkit';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { exerciseChart, exercisePlot } from '../../core/figures/exercise.ts';
import { printLook } from '../../core/figures/figure.ts';
import { recoveryChart, recoveryPlot } from '../../core/figures/recovery.ts';
import { buildWorksheetFile, worksheetFileText } from '../../core/worksheet/file.ts';
import { markWorksheet } from '../../core/worksheet/marking.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import { markingInput } from '../../core/worksheet/record.ts';
import { drawFigure } from '../../electron/pdf/draw-figure.ts';
import { faces, printable, REPLACEMENT } from '../../electron/pdf/fonts.ts';
import { sfntOf } from '../../electron/pdf/sfnt.ts';
import { writeWorksheet, type WorksheetPdfInput } from '../../electron/pdf/write-worksheet.ts';
import { structureOf } from './pdf-structure.ts';
import { at, SessionBuilder } from '../core/session-builder.ts';
import { answered, wholeSession, WorksheetBuilder } from '../core/worksheet-builder.ts';

const wall = '2026-03-02T11:25:00+00:00';
const session = wholeSession();
const write = (on: SessionBuilder, sheet: WorksheetBuilder, more: Partial<WorksheetPdfInput> = {}): Promise<Uint8Array> =>
  writeWorksheet({ session: { events: on.stored }, worksheet: { events: sheet.stored }, paper: 'A4', version: '0.1.0', wall, ...more });

interface Read {
  readonly pages: readonly string[];
  readonly size: readonly number[];
  readonly attachment: string;
  readonly info: Record<string, unknown>;
}

async function read(bytes: Uint8Array): Promise<Read> {
  const task = getDocument({ data: Uint8Array.from(bytes), verbosity: 0, isEvalSupported: false });
  try {
    const document = await task.promise;
    const pages: string[] = [];
    let size: readonly number[] = [];
    for (let number = 1; number <= document.numPages; number += 1) {
      const page = await document.getPage(number);
      size = page.view.slice(2);
      const { items } = await page.getTextContent();
      pages.push(items.map((item) => ('str' in item ? item.str + (item.hasEOL ? '\n' : '') : '')).join(''));
    }
    const files = Object.values(((await document.getAttachments()) ?? {}) as Record<string, { filename: string; content: Uint8Array }>);
    expect(files.map((file) => file.filename)).toEqual(['stagecall-worksheet.json']);
    const { info } = await document.getMetadata();
    return { pages, size, attachment: new TextDecoder().decode(files[0]?.content), info: info as Record<string, unknown> };
  } finally {
    await task.destroy();
  }
}

const sheet = answered(session, { 'stage-vo2/stage-3': ['2308', 'mL/kg/min', '0.1 × 91.1 + 1.8 × 91.1 × 14 + 3.5'], 'hr-max': ['193'] })
  .answer('discussion', 'Heart rate rose because Δ ≥ 5 → more.\nVO₂ too.')
  .handIn();
let plain: Uint8Array;
beforeAll(async () => {
  plain = await write(session, sheet);
});

describe('the page', () => {
  it('names the student, the test, the conditions and the record', async () => {
    const { pages, info } = await read(plain);
    const [first = ''] = pages;
    for (const text of [
      's-2204',
      'R-07',
      'Maximal treadmill test on the Bruce stages',
      'Stopped at 10:20: volitional exhaustion',
      '61.4 kg',
      '752 mmHg',
      'Handed in 2 March 2026',
      '146/74',
      '1.47',
      'Stage 3',
    ])
      expect(first).toContain(text);
    expect(info['Title']).toBe('Maximal treadmill test on the Bruce stages: worksheet s-2204');
  });
  it('has results with sources and published errors, answers with working, leaving, cautions and page numbers', async () => {
    const { pages } = await read(plain);
    const all = pages.join('\n');
    for (const text of [
      'Tanaka',
      'SEE 2.7 mL/kg/min',
      'Heart rate fell by 31',
      '2310 / 61.4',
      '4.38 × 10.333 − 3.90',
      'Before every criterion was met',
      'KL',
      'clears nobody to exercise',
      'Δ ≥ 5 → more.',
      'VO₂ too.',
    ])
      expect(all).toContain(text);
    for (const [index, page] of pages.entries()) expect(page).toContain(`${index + 1} of ${pages.length}`);
    for (const page of pages) expect(page).toContain('Local policy first');
  });
  it('without a marking it shows no marks; with one, marks and their reasons', async () => {
    const unmarked = (await read(plain)).pages.join('\n');
    expect(unmarked).not.toContain('whole number of per cent');
    const marking = markWorksheet(markingInput(session.state, sheet.state));
    const marked = (await read(await write(session, sheet, { marking }))).pages.join('\n');
    expect(marked).toContain(`${marking.total}`);
    expect(marked).toContain('of 50');
    expect(marked.replaceAll('\n', ' ')).toMatch(/grade was put in\s+as a whole number of per cent/);
    expect(marked).toContain('1 mark lost for the unit');
    expect(marked).toContain('wait for the marker');
  });
  it('A4 and Letter', async () => {
    expect((await read(plain)).size).toEqual([595.28, 841.89]);
    expect((await read(await write(session, sheet, { paper: 'Letter' }))).size).toEqual([612, 792]);
  });
  it('a rehearsal and a keyed-in sheet say so on every page', async () => {
    for (const [way, text] of [
      ['rehearsal', 'Rehearsal against a simulated participant. Not a test.'],
      ['paper', 'Keyed in from a paper sheet.'],
    ] as const) {
      const on = wholeSession({ way });
      const { pages } = await read(await write(on, answered(on).handIn()));
      expect(pages.length).toBeGreaterThan(2);
      for (const page of pages) expect(page).toContain(text);
    }
    for (const page of (await read(plain)).pages) expect(page).not.toContain('Rehearsal');
  });
  it('shows an amended reading with its first value, one not taken with its reason, an override with initials', async () => {
    const on = new SessionBuilder();
    const start = at('20:00');
    on.prepared({ humidity: '' })
      .add('hold-overridden', { hold: 'detail-humidity', initials: 'KL', reason: 'Hygrometer out for repair' })
      .clock(at('10:00'))
      .add('rest-started', {});
    for (const slot of on.state.slots.values())
      if (slot.slot.phase === 'rest' && slot.scheduled?.optional === false)
        on.add('reading-not-taken', { slot: slot.slot, reason: 'late start' });
    on.clock(start)
      .add('exercise-started', {})
      .reading('heart-rate', '172', start + at('1:00'))
      .reading('heart-rate', '127', start + at('1:05'));
    on.clock(start + at('2:00'))
      .add('test-stopped', {})
      .add('stop-reason-given', { reason: 'Dizzy', symptom: true });
    const text = (await read(await write(on, new WorksheetBuilder(on)))).pages.join('\n');
    for (const part of [
      '172',
      '127',
      'not taken',
      'late start',
      'Set aside by an instructor',
      'Hygrometer out for repair',
      '(KL)',
      'Not handed in yet',
      'was not closed when this was printed',
      'symptom-limited',
    ])
      expect(text).toContain(part);
  });
  it('prints an empty session too', async () => {
    const on = new SessionBuilder();
    expect((await read(await write(on, new WorksheetBuilder(on)))).pages.join('')).toContain('No test was run');
  });
  it('never prints a record whose chain is broken', async () => {
    const broken = session.stored.map((event, index) => (index === 9 ? { ...event, hash: 'f'.repeat(64) } : event));
    await expect(
      writeWorksheet({ session: { events: broken }, worksheet: { events: sheet.stored }, paper: 'A4', version: '1', wall }),
    ).rejects.toThrow(/damaged/);
  });
});

describe('the structure', () => {
  it('is real: headings, tables with header cells, figures in words, and every drawn word in its place', async () => {
    const all = await structureOf(plain);
    expect(all.filter(({ role }) => role === 'H1').map(({ text }) => text)).toEqual(['Maximal treadmill test on the Bruce stages']);
    expect(all.filter(({ role }) => role === 'H2').map(({ text }) => text)).toEqual(['Rest and exercise', 'Recovery', 'Results', 'Questions and answers', 'Checks before the test', 'Cautions']);
    expect(all.filter(({ role }) => role === 'H3').length).toBe(session.state.sheet.questions.length + 1);
    const figures = all.filter(({ role }) => role === 'Figure');
    expect(figures).toHaveLength(2);
    for (const figure of figures) expect(figure.alt).toMatch(/Heart rate.*188|Heart rate in recovery: 1/);
    const heads = all.filter(({ above }) => above.at(-1) === 'TH').map(({ text }) => text);
    for (const head of ['Time', 'Heart rate /min', '3:00', 'Stage 1 1.7 mph, 10 % · changed 0:00', 'Value']) expect(heads).toContain(head);
    for (const { role, above } of all) if (role === 'TH' || role === 'TD') expect(above.at(-1)).toBe('TR');
    const order = ['Rest and exercise', 'Recovery', 'Results', 'Predicted maximal heart rate', 'What the record shows', 'Cautions'].map((text) => all.findIndex((one) => one.text === text));
    expect(order).toEqual(order.toSorted((a, b) => a - b));
    expect(order[0]).toBeGreaterThan(0);
    // Running heads and feet are no part of it.
    expect(all.map(({ text }) => text).join('\n')).not.toMatch(/1 of \d|Local policy first/);
  });
  it('has each word of the page that is no running head or foot, once', async () => {
    const inside = (await structureOf(plain)).map(({ text }) => text).join(' ').replace(/\s+/g, '');
    const { pages } = await read(plain);
    const running = /^(?:Stagecall|s-2204\s+·.*|A teaching record; it clears.*|\d+ of \d+)$/;
    const outside = pages.flatMap((page) => page.split('\n')).filter((line) => !running.test(line.trim())).join('').replace(/\s+/g, '');
    expect(inside.length).toBeGreaterThan(3000);
    expect(Math.abs(inside.length - outside.length) / outside.length).toBeLessThan(0.05);
  });
});

describe('the record inside', () => {
  it('is the file as published, sound, byte for byte', async () => {
    const { attachment } = await read(plain);
    expect(attachment).toBe(
      worksheetFileText(buildWorksheetFile({ session: { events: session.stored }, worksheet: { events: sheet.stored }, version: '0.1.0' })),
    );
    const back = readWorksheetFile(attachment);
    expect(back.ok && back.value.sound && back.value.findings.length === 0).toBe(true);
  });
  it('and the same records give the same bytes', async () => {
    expect(Buffer.from(await write(session, sheet)).equals(Buffer.from(plain))).toBe(true);
  });
  it('claims nothing that it is not: no script, no form, nothing fetched', () => {
    const text = Buffer.from(plain).toString('latin1');
    expect(text).not.toMatch(/\/JavaScript|\/JS |\/AcroForm|\/Launch|\/URI/);
  });
});

describe('every printed character has a glyph', () => {
  const covered = (): Set<number> => new Set([...faces().values()].flatMap((face) => [...face.has]));

  it('on the page, as a reader of PDFs takes it off again', async () => {
    const known = covered();
    const missing = new Set(
      [...(await read(plain)).pages.join('')].filter((character) => character !== '\n' && !known.has(character.codePointAt(0) ?? 0)),
    );
    expect([...missing]).toEqual([]);
    expect((await read(plain)).pages.join('')).not.toContain(REPLACEMENT);
  });
  it('for any text: each run has its face’s glyphs, and what was replaced is counted', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.constantFrom('Words' as const, 'Figures' as const), (text, kind) => {
        const { runs, replaced } = printable(text, kind);
        for (const run of runs)
          for (const character of run.text)
            if (!/[\n\u00a0 ]/.test(character))
              expect(
                faces()
                  .get(run.font)
                  ?.has.has(character.codePointAt(0) ?? -1),
              ).toBe(true);
        const shown = [...runs.map((run) => run.text).join('')].filter((character) => character === REPLACEMENT).length;
        expect(shown).toBeGreaterThanOrEqual(replaced);
      }),
      { numRuns: 400 },
    );
  });
  it.each([
    ['🙂', 1],
    ['👩‍🔬', 1],
    ['漢字', 2],
    ['e\u0301 is é', 0],
    ['VO₂ ≥ 5 ≤ 6, Δ → −2 ✓ ◆ ½ µ β', 0],
    ['a\u200bb\ufeffc\u0000d', 0],
  ])('%s leaves %d marks', (text, count) => {
    const { runs, replaced } = printable(text);
    expect(replaced).toBe(count);
    expect([...runs.map((run) => run.text).join('')].filter((character) => character === REPLACEMENT)).toHaveLength(count);
  });
  it('the page says how many were replaced', async () => {
    const on = answered(session).answer('discussion', 'Felt 🙂 and 漢字.').handIn();
    const text = (await read(await write(session, on))).pages.join('\n').replaceAll('\n', ' ');
    expect(text).toContain(`Felt ${REPLACEMENT} and ${REPLACEMENT}${REPLACEMENT}.`);
    expect(text).toContain('3 characters could not be printed');
  });
  it('the faces are unpacked as they were packed', () => {
    const require = createRequire(import.meta.url);
    const woff = readFileSync(
      require.resolve('@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-400-normal.woff'),
    );
    expect(fontkit.create(sfntOf(woff)).characterSet).toEqual(fontkit.create(woff).characterSet);
    expect(() => sfntOf(Buffer.from('no font at all, just words'))).toThrow(/not a WOFF/);
  });
});

describe('whatever is typed', () => {
  it.each([
    ['twenty thousand letters without a blank', 'x'.repeat(20_000)],
    ['many lines', 'line\n'.repeat(2000)],
    ['script and markup', '<script>alert(1)</script> https://example.org/x.png file:///etc/passwd'],
    ['text from right to left, and controls', 'שלום \u202e abc \u0007\u001b[31m'],
    ['marks of combination', 'Z\u0351\u036b\u0343'.repeat(50)],
    ['lone surrogates', '\ud800 and \udc00'],
  ])('%s', { timeout: 60_000 }, async (_name, typed) => {
    const on = answered(session, { 'hr-max': [typed.slice(0, 300), 'b'.repeat(40), typed.slice(0, 2500)] })
      .answer('discussion', typed)
      .handIn();
    const { pages, attachment } = await read(await write(session, on));
    expect(pages.length).toBeLessThan(40);
    const back = readWorksheetFile(attachment);
    expect(back.ok && back.value.sound).toBe(true);
  });
});

describe('figures', () => {
  it('are vector, in the page’s own measures, and differ where the data differ', () => {
    const svg = drawFigure(exerciseChart(exercisePlot(session.state), printLook, undefined), 480, 170);
    expect(svg).toMatch(/^<\?xml[^]*<svg[^>]+width="480" height="170"/);
    expect(svg).not.toMatch(/<image|<text|NaN/);
    expect(drawFigure(exerciseChart(exercisePlot(session.state), printLook, undefined), 480, 170)).toBe(svg);
    const other = wholeSession({ details: { mass: '80' } });
    expect(drawFigure(exerciseChart(exercisePlot(other.state), printLook, undefined), 480, 170)).not.toBe(svg);
    expect(drawFigure(recoveryChart(recoveryPlot(session.state, session.now), printLook), 240, 138)).toContain('<path');
  });
  it('the data are the record’s: heart rate each minute, uptake at the end of a stage, predictions of finished stages', () => {
    const plot = exercisePlot(session.state);
    expect(plot.heartRate.map((point) => point.y)).toEqual([74, 98, 104, 109, 121, 127, 131, 148, 156, 168, 181, 188]);
    expect(plot.uptake.map((point) => point.y)).toEqual([0.98, 1.47, 2.1, 2.31]);
    expect(plot.predicted).toHaveLength(3);
    expect(recoveryPlot(session.state, session.now)).toMatchObject({
      heartRate: expect.arrayContaining([
        { x: 1, y: 157 },
        { x: 2, y: 134 },
        { x: 3, y: 121 },
      ]),
      restHeartRate: 74,
      restSystolic: 118,
    });
  });
});

const poppler = spawnSync('pdftotext', ['-v']).error === undefined;

describe.skipIf(!poppler)('opened by poppler (skipped where pdftotext is not installed)', () => {
  const folder = mkdtempSync(path.join(tmpdir(), 'stagecall-pdf-'));
  const file = path.join(folder, 'worksheet.pdf');
  beforeAll(() => writeFileSync(file, plain));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const run = (command: string, ...more: string[]): string => execFileSync(command, more, { encoding: 'utf8', cwd: folder });

  it('its text comes out in reading order', () => {
    const text = run('pdftotext', file, '-');
    const order = [
      'Maximal treadmill test on the Bruce stages',
      'Rest and exercise',
      'Stage 1',
      'Stage 4',
      'Recovery',
      'Results',
      'Questions and answers',
      'Predicted maximal heart rate',
      'Prescription',
      'What the record shows',
      'Cautions',
    ].map((part) => text.indexOf(part));
    expect(order.every((place) => place >= 0)).toBe(true);
    expect(run('pdftotext', file, '-')).toContain('VO₂');
  });
  it('the record is there under its name, every face is embedded, and no complaint is made', () => {
    expect(run('pdfdetach', '-list', file)).toContain('stagecall-worksheet.json');
    const fonts = run('pdffonts', file)
      .split('\n')
      .slice(2)
      .filter((line) => line !== '');
    expect(fonts.length).toBeGreaterThan(3);
    for (const line of fonts) expect(line).toMatch(/yes yes yes/);
    expect(run('pdfinfo', file)).toMatch(/Tagged:\s+yes[^]*JavaScript:\s+no/);
    const structure = run('pdfinfo', '-struct-text', file);
    expect(structure).toMatch(/^Document\n/);
    expect(structure).toMatch(/H1[^\n]*\n\s+"Maximal treadmill test on the Bruce stages"/);
    expect(structure).toMatch(/TH:?[^\n]*\n\s+\/Scope \/Row\n\s+P[^\n]*\n\s+"3:00"/);
    const drawn = spawnSync('pdftoppm', ['-r', '50', '-png', file, path.join(folder, 'page')], { encoding: 'utf8' });
    expect([drawn.status, drawn.stderr]).toEqual([0, '']);
  });
});
