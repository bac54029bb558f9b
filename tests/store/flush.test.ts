/** Power loss: watched from outside, each acknowledgement follows the flush of its own bytes. */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { tempFolder } from '../shells/temp-folder.ts';

const { folder, remove } = tempFolder();
afterAll(remove);
const mayTrace = spawnSync('strace', ['-o', '/dev/null', 'true']).status === 0;

it.skipIf(!mayTrace)(
  '(under strace) every acknowledged entry was written to the log and flushed before it was acknowledged',
  { timeout: 60_000 },
  () => {
    const trace = path.join(folder, 'trace');
    const run = (): ReturnType<typeof spawnSync> =>
      spawnSync(
        'strace',
        [
          '-f',
          '-yy',
          '-s',
          '4096',
          '-e',
          'trace=write,pwrite64,fdatasync,fsync',
          '-o',
          trace,
          process.execPath,
          path.join(import.meta.dirname, 'fault-child.ts'),
          path.join(folder, 'data'),
          'append',
        ],
        { encoding: 'utf8' },
      );
    expect(run().status).toBe(0);
    // The second time the database is opened again, which is when SQLite by itself would no longer flush each commit.
    expect(run().status).toBe(0);
    /** Entries in what was written to the log since the last acknowledgement, and whether all of that was flushed since. */
    let written = new Set<string>();
    let flushed = false;
    const acknowledged: string[] = [];
    for (const line of readFileSync(trace, 'utf8').split('\n')) {
      const log = /stagecall\.sqlite-wal/.test(line);
      if (log && /\bp?write(64)?\(/.test(line)) {
        for (const [, entry = ''] of line.matchAll(/marker (\d+-\d+) end/g)) written.add(entry);
        flushed = false;
      }
      if (log && /\bf(data)?sync\(/.test(line)) flushed = true;
      const ack = /ack (\d+-\d+)\\n/.exec(line)?.[1];
      if (ack !== undefined) {
        expect({ written: written.has(ack), flushed }, `acknowledgement ${ack}`).toEqual({ written: true, flushed: true });
        acknowledged.push(ack);
        written = new Set();
        flushed = false;
      }
    }
    expect(acknowledged).toHaveLength(50);
  },
);
