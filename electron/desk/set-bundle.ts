/** A whole marking set as one file for another marker: its facts, its records and the marks that were written out, packed. */
import { promisify } from 'node:util';
import { gunzip, gzip } from 'node:zlib';
import { z } from 'zod';
import { setFormats } from '../../core/marking-set/formats.ts';
import { readFacts, type StoredFact } from '../../core/marking-set/set-chain.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { sha256Of } from './open-set.ts';
import { unpackRecord } from './open-for-set.ts';
import type { PackedRecord, SetStore } from './set-store.ts';

/** What a set may come to when it is unpacked: a term of four hundred with several hand-ins stays far below. */
const LARGEST_SET = 600 * 1024 * 1024;
/** Records that are checked before others get a turn. */
const AT_ONCE = 20;

const hash = z.string().regex(/^[0-9a-f]{64}$/);
const bundleSchema = z.object({
  format: z.literal(setFormats.set),
  facts: z.array(z.object({ prev: hash, body: z.string().max(1_000_000), hash })).min(1).max(1_000_000),
  records: z.array(z.object({ hash, packed: z.string() })).max(200_000),
  marks: z.array(z.object({ hash, json: z.string().max(50_000_000) })).max(10_000),
});

export interface Bundle {
  readonly facts: readonly StoredFact[];
  readonly records: readonly PackedRecord[];
  readonly marks: readonly { readonly hash: string; readonly json: string }[];
}

export async function packSet(store: SetStore, marks: readonly string[]): Promise<Uint8Array> {
  const records = [...store.recordHashes()].flatMap((record) => {
    const packed = store.record(record);
    return packed === undefined ? [] : [{ hash: record, packed: Buffer.from(packed).toString('base64') }];
  });
  const kept = marks.flatMap((one) => {
    const json = store.marks(one);
    return json === undefined ? [] : [{ hash: one, json }];
  });
  const text = JSON.stringify({ format: setFormats.set, facts: store.facts, records, marks: kept });
  return promisify(gzip)(text, { level: 1 });
}

/** Reads another marker's copy. Whatever does not match its hash is not taken. Codes: `not-a-set`, `too-large`, `altered`. */
export async function unpackSet(bytes: Uint8Array): Promise<Result<Bundle>> {
  let raw: unknown;
  try {
    raw = JSON.parse((await promisify(gunzip)(bytes, { maxOutputLength: LARGEST_SET })).toString('utf8'));
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'ERR_BUFFER_TOO_LARGE') return failure('too-large', 'This file is far larger than a marking set. Nothing was taken from it.');
    return failure('not-a-set', 'This is no marking set, or it is damaged. Ask for it again; nothing was changed.');
  }
  const parsed = bundleSchema.safeParse(raw);
  if (!parsed.success) return failure('not-a-set', 'This is no marking set of this program, or it is damaged. Nothing was changed.');
  const { facts, marks } = parsed.data;
  if (readFacts(facts).problems.some((problem) => problem.includes('changed after'))) return failure('altered', 'This copy of the set was changed after it was written. Nothing was taken from it; ask for it again.');
  const records: PackedRecord[] = [];
  for (const [at, record] of parsed.data.records.entries()) {
    if (at % AT_ONCE === AT_ONCE - 1) await new Promise((resolve) => void setImmediate(resolve));
    const packed = Buffer.from(record.packed, 'base64');
    try {
      if (sha256Of(unpackRecord(packed)) !== record.hash) return failure('altered', 'A record in this copy of the set was changed. Nothing was taken from it; ask for it again.');
    } catch {
      return failure('not-a-set', 'A record in this copy of the set is damaged. Nothing was taken from it; ask for it again.');
    }
    records.push({ hash: record.hash, packed });
  }
  return success({ facts, records, marks: marks.filter((one) => sha256Of(one.json) === one.hash) });
}
