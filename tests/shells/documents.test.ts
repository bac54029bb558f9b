/**
 * Every PDF that the program writes, as a document that people keep: worksheet, feedback and blank sheet open in poppler and in
 * pdfjs, say their structure, print every character with a glyph, and carry the record by the published schema.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import * as fc from 'fast-check';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadSheet } from '../../core/sheet/load.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import { buildWorksheetFile, worksheetFileText } from '../../core/worksheet/file.ts';
import { markWorksheet } from '../../core/worksheet/marking.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import { markingInput } from '../../core/worksheet/record.ts';
import { writeBlank } from '../../electron/pdf/blank.ts';
import { writeFeedback, type FeedbackInput } from '../../electron/pdf/feedback.ts';
import { faces, REPLACEMENT } from '../../electron/pdf/fonts.ts';
import { marksOf } from '../../electron/pdf/marks-of.ts';
import { writeWorksheet } from '../../electron/pdf/write-worksheet.ts';
import { bruceText } from '../core/session-builder.ts';
import { answered, wholeSession } from '../core/worksheet-builder.ts';
import { structureOf } from './pdf-structure.ts';

const wall = '2026-03-02T11:25:00+00:00';
const top = path.join(import.meta.dirname, '..', '..');
const sheetNames = readdirSync(path.join(top, 'lab-sheets')).filter((name) => name.endsWith('.yaml'));
const sheetOf = (name: string, change = (text: string): string => text): LabSheet => {
  const loaded = loadSheet(change(readFileSync(path.join(top, 'lab-sheets', name), 'utf8')), name);
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  return loaded.sheet;
};

// Names and words as people have them: accents, signs of the trade, other scripts, pictures.
const odd = 'Zoë Ångström-Łukasiewicz saw VO₂ ≥ 5, ≤ 6, Δ → 0; 漢字 and 🙂';
const session = wholeSession();
const sheet = answered(session, { 'stage-vo2/stage-3': ['2308', 'mL/kg/min', '0.1 × 91.1 + 1.8 × 91.1 × 14 + 3.5'], 'hr-max': ['193', '/min'] })
  .answer('discussion', odd)
  .handIn();
const file = buildWorksheetFile({ session: { events: session.stored }, worksheet: { events: sheet.stored }, version: '0.1.0' });
const marking = markWorksheet(markingInput(session.state, sheet.state));
const feedback: FeedbackInput = { file, marking, sheet: session.state.sheet, key: 'v2 (3f9a)', markers: ['KL'], paper: 'A4', version: '0.1.0', wall };

let documents: Readonly<Record<string, Uint8Array>>;
beforeAll(async () => {
  documents = {
    worksheet: await writeWorksheet({ session: { events: session.stored }, worksheet: { events: sheet.stored }, paper: 'A4', version: '0.1.0', wall, marking }),
    'worksheet on Letter': await writeWorksheet({ session: { events: session.stored }, worksheet: { events: sheet.stored }, paper: 'Letter', version: '0.1.0', wall }),
    feedback: await writeFeedback(feedback),
    'feedback on Letter': await writeFeedback({ ...feedback, paper: 'Letter' }),
    blank: await writeBlank({ sheet: session.state.sheet, paper: 'A4', version: '0.1.0', wall }),
  };
});

async function opened(bytes: Uint8Array): Promise<{ readonly text: string; readonly pages: number; readonly attachment: string | undefined }> {
  const task = getDocument({ data: Uint8Array.from(bytes), verbosity: 0, isEvalSupported: false });
  try {
    const document = await task.promise;
    let text = '';
    for (let number = 1; number <= document.numPages; number += 1) {
      const { items } = await (await document.getPage(number)).getTextContent();
      text += `${items.map((item) => ('str' in item ? item.str + (item.hasEOL ? '\n' : '') : '')).join('')}\n`;
    }
    const [attached] = Object.values(((await document.getAttachments()) ?? {}) as Record<string, { filename: string; content: Uint8Array }>);
    return { text, pages: document.numPages, attachment: attached === undefined ? undefined : new TextDecoder().decode(attached.content) };
  } finally {
    await task.destroy();
  }
}

/** Pages that hold nothing but their running head and foot. */
async function emptyPages(bytes: Uint8Array): Promise<readonly number[]> {
  const task = getDocument({ data: Uint8Array.from(bytes), verbosity: 0, isEvalSupported: false });
  try {
    const document = await task.promise;
    const empty: number[] = [];
    for (let number = 1; number <= document.numPages; number += 1) {
      const page = await document.getPage(number);
      const { items } = await page.getTextContent();
      // Running head and foot stand within 50 and 60 points of the edges.
      const inside = items.filter((item) => 'str' in item && item.str.trim() !== '' && (item.transform[5] as number) > 60 && (item.transform[5] as number) < (page.view[3] ?? 0) - 50);
      if (inside.length === 0) empty.push(number);
    }
    return empty;
  } finally {
    await task.destroy();
  }
}

const schema = JSON.parse(readFileSync(path.join(top, 'lab-sheets', 'worksheet-file.schema.json'), 'utf8')) as object;
const validate = new Ajv2020({ strict: true, allErrors: true }).compile(schema);

describe('each document', () => {
  it.each(['worksheet', 'worksheet on Letter', 'feedback', 'feedback on Letter'])('%s: its attachment keeps to the published schema and is the record', async (name) => {
    const { attachment } = await opened(documents[name] ?? new Uint8Array());
    expect(validate(JSON.parse(attachment ?? '')), JSON.stringify(validate.errors)).toBe(true);
    expect(attachment).toBe(worksheetFileText(file));
  });
  it('the schema is no rubber stamp', () => {
    for (const change of [{ format: 'other/1' }, { way: 'guessed' }, { session: { ...file.session, head: 'x' } }, { worksheet: { ...file.worksheet, events: [] } }]) expect(validate({ ...file, ...change })).toBe(false);
  });
  it.each(['worksheet', 'feedback', 'blank'])('%s: every drawn word has its place in the structure, headings in order', async (name) => {
    const placed = await structureOf(documents[name] ?? new Uint8Array());
    expect(placed.filter(({ role }) => role === 'H1')).toHaveLength(1);
    expect(placed.filter(({ role }) => role === 'H2').length).toBeGreaterThan(0);
    for (const { role, alt } of placed) if (role === 'Figure') expect(alt?.length).toBeGreaterThan(20);
  });
  it.each(['worksheet', 'feedback', 'blank'])('%s: every printed character has a glyph; what has none is replaced and said', async (name) => {
    const known = new Set([...faces().values()].flatMap((face) => [...face.has]));
    const { text } = await opened(documents[name] ?? new Uint8Array());
    expect([...new Set(text)].filter((character) => character !== '\n' && !known.has(character.codePointAt(0) ?? 0))).toEqual([]);
    if (name === 'blank') return;
    expect(text.replaceAll('\n', ' ')).toContain(`Zoë Ångström-Łukasiewicz saw VO₂ ≥ 5, ≤ 6, Δ → 0; ${REPLACEMENT}${REPLACEMENT} and ${REPLACEMENT}`);
    expect(text.replaceAll('\n', ' ')).toContain('3 characters could not be printed');
  });
  it('the same input gives the same bytes', async () => {
    expect(Buffer.from(await writeFeedback(feedback)).equals(Buffer.from(documents['feedback'] ?? []))).toBe(true);
    expect(Buffer.from(await writeBlank({ sheet: session.state.sheet, paper: 'A4', version: '0.1.0', wall })).equals(Buffer.from(documents['blank'] ?? []))).toBe(true);
  });
});

describe('wherever a part happens to fall on its page', () => {
  it.each([0, 1100, 1900, 2700])('nothing is lost and no page is empty (an answer of %d letters)', async (letters) => {
    const on = answered(session).answer('discussion', 'heart rate rose '.repeat(Math.round(letters / 16))).handIn();
    const bytes = await writeWorksheet({ session: { events: session.stored }, worksheet: { events: on.stored }, paper: letters > 1500 ? 'A4' : 'Letter', version: '0.1.0', wall });
    const { text } = await opened(bytes);
    for (const part of ['Cautions', 'What the record shows', 'Checks before the test', 'The record is attached to this file', ...session.state.sheet.cautions.map((caution) => caution.slice(0, 30))]) expect(text).toContain(part);
    expect(await emptyPages(bytes)).toEqual([]);
  });
  it.each(['worksheet', 'feedback', 'blank'])('%s has no empty page', async (name) => {
    expect(await emptyPages(documents[name] ?? new Uint8Array())).toEqual([]);
  });
});

describe('one changed byte of the record', () => {
  const text = worksheetFileText(file);
  // Where events stand in the file: their bodies and hashes, and the heads that close them.
  const from = text.indexOf('"session"');
  const bytes = Buffer.from(text, 'utf8');
  const places = [...text.slice(from).matchAll(/"(?:body|hash|head)": "((?:[^"\\]|\\.)*)"/g)].map((match) => {
    const start = Buffer.byteLength(text.slice(0, from + (match.index ?? 0) + match[0].lastIndexOf(match[1] ?? '', match[0].length - 2)), 'utf8');
    return { start, length: Buffer.byteLength(match[1] ?? '', 'utf8') };
  });
  it('is flagged, wherever it is', () => {
    expect(places.length).toBeGreaterThan(150);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: places.length - 1 }), fc.double({ min: 0, max: 0.999_999, noNaN: true }), fc.integer({ min: 1, max: 255 }), (which, where, by) => {
        const place = places[which] ?? { start: 0, length: 1 };
        const at = place.start + Math.floor(where * place.length);
        const changed = Buffer.from(bytes);
        changed[at] = ((changed[at] ?? 0) + by) & 0xff;
        let decoded: string;
        try {
          decoded = new TextDecoder('utf-8', { fatal: true }).decode(changed);
        } catch {
          return; // No text any more: refused before it is read.
        }
        const read = readWorksheetFile(decoded);
        expect(read.ok && read.value.sound, `byte ${at} changed by ${by}`).toBe(false);
      }),
      { numRuns: 400 },
    );
    expect(readWorksheetFile(text)).toMatchObject({ ok: true, value: { sound: true } });
  });
});

describe('feedback', () => {
  it('says marks, reasons, worked solutions with the student’s own numbers, key and marker', async () => {
    const { text } = await opened(documents['feedback'] ?? new Uint8Array());
    const flat = text.replace(/\s+/g, ' ');
    for (const part of ['s-2204', `${marking.total} of 50`, 'key v2 (3f9a)', 'Marked by KL and the program', '4.38 × 10.333 − 3.9 = ', 'Worked solution', 'wait for the marker', 'It diagnoses nothing']) expect(flat).toContain(part);
    // The grade as a whole number: named, with the student's own answer and the right way beside it.
    expect(flat).toMatch(/grade was put in as a whole number of per cent/);
    expect(flat).toContain('0.1 × 91.2 + 1.8 × 91.2 × 0.14 + 3.5 = 35.6 mL/kg/min');
    expect(flat).not.toContain('unverified key');
  });
  it('shows what was moderated, by whom and why; the shared record; late work; the class; and an unverified key', async () => {
    const questions = marking.questions.map((one) =>
      one.id === 'discussion'
        ? { ...one, marks: 6, pending: 0, verdict: 'right' as const, reason: 'Level 6.', award: { marker: 'KL', key: 'v2', byHand: [{ by: 'KL', marks: 6, comment: 'Good mechanism; say how large the difference is.' }] } }
        : one.id === 'hr-max'
          ? { ...one, marks: 1, award: { marker: 'AB', key: 'v2', automatic: { marks: 3, reason: 'Right.' }, byHand: [{ by: 'AB', marks: 1, comment: 'Working is another person’s.' }] } }
          : one,
    );
    const { sheet: _sheet, ...without } = feedback;
    const { text } = await opened(
      await writeFeedback({
        ...without,
        marking: { ...marking, questions },
        markers: ['KL', 'AB'],
        shared: [{ title: 'Pressures read', marks: 4, outOf: 5, by: 'KL', comment: 'one missed' }],
        late: { total: 30, says: '2 days late: 10 % a day taken off.' },
        comment: { by: 'KL', text: 'See me about units.' },
      }),
    );
    const flat = text.replace(/\s+/g, ' ');
    for (const part of ['KL: 6 given by hand. Good mechanism; say how large the difference is.', 'AB: 1 given by hand (3 before). Working is another person’s.', '✓ 6', 'The shared record', 'KL: one missed', '2 days late: 10 % a day taken off.', '30 of 50', 'KL: See me about units.', 'an unverified key', 'Marked by KL, AB and the program'])
      expect(flat).toContain(part);
  });
});

describe('the marks on a student’s own page', () => {
  it('are there by the copy of the sheet, and not where the sheet leaves feedback to the instructor', () => {
    expect(marksOf(file).marking?.total).toBe(marking.total);
    const text = bruceText.replace(/\nquestions:/, '\nanswers: { feedback: instructor }\nquestions:');
    const on = wholeSession({ text });
    expect(on.state.sheet.answers?.feedback).toBe('instructor');
    expect(marksOf(buildWorksheetFile({ session: { events: on.stored }, worksheet: { events: answered(on).handIn().stored }, version: '1' }))).toEqual({});
  });
});

describe('blank sheets', () => {
  it.each(sheetNames)('%s: head, cautions, checks, stages with due times, stop list, recovery and every question', async (name) => {
    const lab = sheetOf(name);
    for (const paper of name.startsWith('treadmill') ? (['A4', 'Letter'] as const) : (['A4'] as const)) {
      const bytes = await writeBlank({ sheet: lab, paper, version: '0.1.0', wall });
      const { text, pages, attachment } = await opened(bytes);
      // A line may end after a hyphen: blanks are left out of the comparison.
      const flat = text.replace(/\s+/g, '');
      const has = (part: string): void => expect(flat).toContain(part.replace(/\s+/g, ''));
      has(lab.title);
      for (const part of [...lab.cautions, ...lab.checks.map((check) => check.text), ...lab.stop.list, ...lab.recovery.criteria.map((one) => one.text), ...lab.questions.flatMap((question) => [question.title, question.ask])]) has(part);
      for (const part of ['Participant code', 'Student key', 'Set aside by an instructor', 'Stopped at', 'Left at', 'clears nobody to exercise']) has(part);
      expect(attachment).toBeUndefined();
      expect(pages).toBeLessThan(10);
      expect(await emptyPages(bytes)).toEqual([]);
      expect(text).not.toMatch(/undefined|NaN|\[object/);
    }
  });
  it('has the minutes of the plan, and which reading is due when', async () => {
    const { text } = await opened(documents['blank'] ?? new Uint8Array());
    const flat = text.replace(/\s+/g, ' ');
    // Bruce: three minutes a stage; blood pressure half a minute before each stage's end (the lab sheet's own "-0:30").
    expect(flat).toMatch(/Stage 1 1\.7 mph, 10 % .*1:00 2:00 3:00 2:30 .*Stage 2 2\.5 mph, 12 % .*4:00 5:00 6:00 5:30/);
  });
  it('offers every way of a branch, and a stage for men and one for women', async () => {
    const branching = (await opened(await writeBlank({ sheet: sheetOf('cycle-submaximal-branching.yaml'), paper: 'A4', version: '1', wall }))).text.replace(/\s+/g, ' ');
    for (const way of ['below 80 /min: 750 kg·m/min', '80 to 89 /min: 600 kg·m/min', '90 to 100 /min: 450 kg·m/min', '101 or more /min: 300 kg·m/min']) expect(branching.replaceAll(' ', '')).toContain(way.replaceAll(' ', ''));
    const step = (await opened(await writeBlank({ sheet: sheetOf('step-test-queens-college.yaml'), paper: 'A4', version: '1', wall }))).text.replace(/\s+/g, ' ');
    expect(step).toMatch(/women 22.*, men 24/);
  });
  it('prints a lab sheet’s odd letters or says that it cannot', async () => {
    const lab = sheetOf('treadmill-maximal-bruce.yaml', (text) => text.replace('title: Maximal treadmill test on the Bruce stages', 'title: "Łódź 漢 test"'));
    const { text } = await opened(await writeBlank({ sheet: lab, paper: 'A4', version: '1', wall }));
    expect(text).toContain(`Łódź ${REPLACEMENT} test`);
    expect(text).toMatch(/\d characters of the lab sheet could not be printed/);
  });
});

const poppler = spawnSync('pdftotext', ['-v']).error === undefined;
describe.skipIf(!poppler)('opened by poppler (skipped where it is not installed)', () => {
  const folder = mkdtempSync(path.join(tmpdir(), 'stagecall-documents-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  it.each(['worksheet', 'feedback', 'blank'])('%s: tagged, without a complaint, its text in reading order', (name) => {
    const at = path.join(folder, `${name}.pdf`);
    writeFileSync(at, documents[name] ?? new Uint8Array());
    const info = spawnSync('pdfinfo', ['-struct-text', at], { encoding: 'utf8' });
    expect([info.status, info.stderr]).toEqual([0, '']);
    expect(info.stdout).toMatch(/^Document\n/);
    expect(execFileSync('pdfinfo', [at], { encoding: 'utf8' })).toMatch(/Tagged:\s+yes/);
    const text = execFileSync('pdftotext', [at, '-'], { encoding: 'utf8' });
    const order = { worksheet: ['Rest and exercise', 'Recovery', 'Results', 'Questions and answers', 'Cautions'], feedback: ['Feedback for', 'Questions', 'Worked solution', 'What the record shows'], blank: ['Cautions', 'Before the test', 'Rest', 'Exercise', 'Recovery', 'Questions'] }[name] ?? [];
    const places = order.map((part) => new RegExp(`(?:^|\\n)${part}`).exec(text)?.index ?? -1);
    expect(places.every((place) => place >= 0), `${order.join()} at ${places.join()}`).toBe(true);
    expect(places).toEqual(places.toSorted((a, b) => a - b));
    expect(execFileSync('pdffonts', [at], { encoding: 'utf8' }).split('\n').slice(2).filter((line) => line !== '' && !/yes yes yes/.test(line))).toEqual([]);
  });
});
