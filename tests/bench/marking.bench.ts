/**
 * Budget for the marking desk: 1,000 worksheets as PDFs, at least 50 a second and within 10 times bare attachment extraction by
 * pdfjs of the same files in the same run; memory flat; stop works; and the process that serves a live session stays free.
 */
import { readFileSync } from 'node:fs';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { endPool } from '../../electron/desk/pool.ts';
import { SetDesk } from '../../electron/desk/set-desk.ts';
import { writeWorksheet } from '../../electron/pdf/write-worksheet.ts';
import { sheetTexts } from '../../electron/station/sheets.ts';
import type { Result } from '../../core/result.ts';
import { answer, Chance, plants, plantTests, recordOf } from '../core/seeded-class.ts';
import { bruceText } from '../core/session-builder.ts';
import { tempFolder } from '../shells/temp-folder.ts';

const FILES = 1000;
/** Different worksheets, two on each test; each stands for several, which are opened and marked all the same. */
const DIFFERENT = 60;

async function good<Value>(answerOf: Promise<Result<Value>>): Promise<Value> {
  const result = await answerOf;
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

async function worksheets(): Promise<readonly Uint8Array[]> {
  const tests = plantTests(new Chance(1), -1).slice(0, DIFFERENT / 2);
  const made: Uint8Array[] = [];
  for (const [index, test] of tests.entries()) {
    const record = recordOf(test);
    for (const half of [0, 1]) {
      const { sheet } = answer(test, record, `S-${100 + 2 * index + half}`, plants[(2 * index + half) % plants.length]!, '2026-03-06T15:00:00+00:00');
      made.push(await writeWorksheet({ session: { events: record.stored }, worksheet: { events: sheet.stored }, paper: 'A4', version: '0.1.0', wall: '2026-03-06T15:10:00+00:00' }));
    }
  }
  return made;
}

/** Opens a PDF and takes its attachments out, and nothing more. */
async function bare(files: readonly Uint8Array[]): Promise<number> {
  const { getDocument, VerbosityLevel } = await import('pdfjs-dist/legacy/build/pdf.mjs');
  const one = async (bytes: Uint8Array): Promise<void> => {
    const task = getDocument({ data: Uint8Array.from(bytes), verbosity: VerbosityLevel.ERRORS });
    await (await task.promise).getAttachments();
    await task.destroy();
  };
  for (const bytes of files) await one(bytes);
  const begun = performance.now();
  for (let at = 0; at < FILES; at += 1) await one(files[at % files.length]!);
  return performance.now() - begun;
}

function megabytesOf(pid: number): number {
  return Number(/^VmRSS:\s+(\d+) kB/m.exec(readFileSync(`/proc/${pid}/status`, 'latin1'))?.[1] ?? 0) / 1024;
}
/** Resident memory of this process's children; 0 where /proc does not tell. */
function children(): number {
  try {
    const pids = readFileSync(`/proc/self/task/${process.pid}/children`, 'utf8').trim().split(' ').filter(Boolean).map(Number);
    return pids.reduce((sum, pid) => sum + megabytesOf(pid), 0);
  } catch {
    return 0;
  }
}

export async function run(): Promise<void> {
  const files = await worksheets();
  console.log(`${DIFFERENT} worksheets of ${(files.reduce((sum, { length }) => sum + length, 0) / DIFFERENT / 1024).toFixed(0)} kB, handed in ${FILES} times under different names`);
  const { folder, remove } = tempFolder();
  const desk = new SetDesk({ folder, clock: { wallMs: () => Date.now() }, sheets: sheetTexts({ 'bruce.yaml': bruceText }), program: 'bench' });
  const { set } = await good(desk.handlers['set.create']({ command: 'bench-create', author: 'KL', title: 'Bench', term: '', sheet: 'treadmill-maximal-bruce' }));
  const base64 = files.map((bytes) => Buffer.from(bytes).toString('base64'));
  const delay = monitorEventLoopDelay({ resolution: 5 });
  const memory: string[] = [];
  // One file before the clock starts, so that the processes are there.
  await desk.finished((await good(desk.handlers['set.add-files']({ set, command: 'bench-first-one', author: 'KL', files: [{ name: 'first', folder: '', base64: base64[0]! }] }))).job);
  delay.enable();
  const begun = performance.now();
  // As a window sends them: some at a time.
  for (let from = 0; from < FILES; from += 25) {
    const some = Array.from({ length: 25 }, (_, at) => ({ name: `${from + at}.pdf`, folder: 'class', base64: base64[(from + at) % DIFFERENT]! }));
    const { job } = await good(desk.handlers['set.add-files']({ set, command: `bench-${from}-files`, author: 'KL', files: some }));
    await desk.finished(job);
    if ((from + 25) % 250 === 0) memory.push(`${from + 25}: station ${(process.memoryUsage().rss / 2 ** 20).toFixed(0)} MB, children ${children().toFixed(0)} MB`);
  }
  const ours = performance.now() - begun;
  delay.disable();
  const view = await good(desk.handlers['set.open']({ set }));
  const done = view.files.filter(({ cells }) => cells !== undefined).length;
  const theirs = await bare(files);
  console.log(`${FILES} opened, checked, marked and kept: ${(ours / 1000).toFixed(1)} s, ${((1000 * FILES) / ours).toFixed(0)} a second (${done} with marks)`);
  console.log(`bare attachment extraction by pdfjs: ${(theirs / 1000).toFixed(1)} s; ratio ${(ours / theirs).toFixed(1)}`);
  console.log(`memory at ${memory.join('; ')}`);
  console.log(`the serving process was away for ${(delay.max / 1e6).toFixed(0)} ms at most, ${(delay.percentile(99) / 1e6).toFixed(0)} ms at the 99th percentile`);
  const all = Array.from({ length: 200 }, (_, at) => ({ name: `${at}.pdf`, folder: 'to be stopped', base64: base64[at % DIFFERENT]! }));
  const { job } = await good(desk.handlers['set.add-files']({ set, command: 'bench-stopped', author: 'KL', files: all }));
  await new Promise((resolve) => void setTimeout(resolve, 300));
  const stopping = performance.now();
  await good(desk.handlers['set.stop']({ job }));
  await desk.finished(job);
  const { added } = await good(desk.handlers['set.progress']({ job }));
  console.log(`stopped within ${(performance.now() - stopping).toFixed(0)} ms, ${added.length} of 200 kept`);
  desk.close();
  endPool();
  remove();
}
