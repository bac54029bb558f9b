/**
 * `npm run bench`: runs every `tests/bench/NAME.bench.ts`, or those whose name contains a word given as argument.
 * Each exports `run()`, which measures and prints. Ratios within one run mean something on any machine; seconds do not,
 * so the machine is named first.
 */
import { readdirSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

const wanted = process.argv.slice(2);
const processors = os.cpus();
const gibibytes = os.totalmem() / 2 ** 30;
console.log(
  `machine: ${processors[0]?.model.trim() || 'unnamed processor'}, ${processors.length} cores, ${gibibytes.toFixed(0)} GiB, ${os.type()} ${os.release()} ${os.arch()}, Node ${process.version}`,
);

const files = readdirSync(import.meta.dirname)
  .filter((file) => file.endsWith('.bench.ts') && (wanted.length === 0 || wanted.some((word) => file.includes(word))))
  .sort();
if (files.length === 0) {
  console.error(wanted.length === 0 ? 'there are no benchmarks in tests/bench' : `no benchmark is called ${wanted.join(' or ')}`);
  process.exitCode = 1;
}
for (const file of files) {
  console.log(`\n${file.replace(/\.bench\.ts$/, '')}`);
  const benchmark = (await import(pathToFileURL(path.join(import.meta.dirname, file)).href)) as { run(): unknown };
  await benchmark.run();
}
