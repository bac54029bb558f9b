/**
 * Ten thousand hostile files (torn, altered, or made to hurt): each ends in a clear refusal or a correct read, within 2 s of
 * processor time and 300 MB. PDFs and records are opened in processes that are held to these limits; tables and YAML are read in
 * this process, and their time is measured here.
 */
import { endPool } from '../../electron/desk/pool.ts';
import { hostileFile } from '../shells/hostile-maker.ts';
import { faultsOf, openHostile, soundFiles } from '../shells/hostile-run.ts';

const FILES = Number(process.env['STAGECALL_HOSTILE'] ?? 10_000);
const TOGETHER = 100;
const SEED = 2026;
const SECONDS = 2;

export async function run(): Promise<void> {
  const sound = await soundFiles();
  const keep = setInterval(() => undefined, 1000);
  const refusals = new Map<string, number>();
  const faults: string[] = [];
  let read = 0;
  let slowest = { took: 0, name: '' };
  let mostMegabytes = 0;
  const begun = performance.now();
  try {
    for (let from = 0; from < FILES; from += TOGETHER) {
      await Promise.all(
        Array.from({ length: Math.min(TOGETHER, FILES - from) }, async (_, at) => {
          const index = from + at;
          const file = hostileFile(sound, SEED, index);
          const name = `file ${index} (${file.kind}, ${file.how.slice(0, 120)})`;
          try {
            const opened = await openHostile(file, Math.floor(index / 5));
            if (opened.read) read += 1;
            else refusals.set(file.kind, (refusals.get(file.kind) ?? 0) + 1);
            faults.push(...faultsOf(opened).map((fault) => `${name}: ${fault}`));
            if ((opened.took ?? 0) > slowest.took) slowest = { took: opened.took ?? 0, name };
          } catch (cause) {
            faults.push(`${name}: threw ${String(cause)}`);
          }
        }),
      );
      mostMegabytes = Math.max(mostMegabytes, process.memoryUsage().rss / 2 ** 20);
    }
  } finally {
    clearInterval(keep);
    endPool();
  }
  const refused = [...refusals].map(([kind, count]) => `${count} ${kind}`).join(', ');
  console.log(`  ${FILES} files in ${((performance.now() - begun) / 1000).toFixed(0)} s: ${read} read, refused ${refused}; ${faults.length} faults`);
  console.log(`  slowest table or YAML: ${slowest.took.toFixed(0)} ms of processor time, ${slowest.name}; this process at most ${mostMegabytes.toFixed(0)} MB (${TOGETHER} files together)`);
  for (const fault of faults.slice(0, 20)) console.log(`  FAULT ${fault}`);
  if (faults.length > 0 || slowest.took > SECONDS * 1000) {
    console.log('  OVER BUDGET');
    process.exitCode = 1;
  }
}
