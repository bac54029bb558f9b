/**
 * A web font unpacked into the plain font that it holds (W3C WOFF File Format 1.0): the same tables, inflated once. The PDF
 * writer's reader inflates a packed table anew each time that it looks into it, which made a page take seconds.
 */
import { inflateSync } from 'node:zlib';

/** Largest table that is taken: fonts of this program's own packages hold far less. */
const LARGEST_TABLE = 16 * 1024 * 1024;

/** @throws {Error} when the bytes are not a WOFF 1.0 font. */
export function sfntOf(woff: Buffer): Buffer {
  if (woff.toString('latin1', 0, 4) !== 'wOFF') throw new Error('not a WOFF 1.0 font');
  const count = woff.readUInt16BE(12);
  const tables = Array.from({ length: count }, (_, index) => {
    const entry = 44 + index * 20;
    const [offset, packed, length] = [woff.readUInt32BE(entry + 4), woff.readUInt32BE(entry + 8), woff.readUInt32BE(entry + 12)];
    const raw = woff.subarray(offset, offset + packed);
    const bytes = packed < length ? inflateSync(raw, { maxOutputLength: LARGEST_TABLE }) : raw;
    if (bytes.length !== length) throw new Error('a table of the font has another length than it says');
    return { tag: woff.subarray(entry, entry + 4), checksum: woff.readUInt32BE(entry + 16), bytes };
  });
  const head = Buffer.alloc(12 + 16 * count);
  const power = 2 ** Math.floor(Math.log2(count));
  head.writeUInt32BE(woff.readUInt32BE(4), 0);
  head.writeUInt16BE(count, 4);
  head.writeUInt16BE(power * 16, 6);
  head.writeUInt16BE(Math.log2(power), 8);
  head.writeUInt16BE(count * 16 - power * 16, 10);
  const parts: Buffer[] = [head];
  let at = head.length;
  for (const [index, table] of tables.entries()) {
    const entry = 12 + index * 16;
    table.tag.copy(head, entry);
    head.writeUInt32BE(table.checksum, entry + 4);
    head.writeUInt32BE(at, entry + 8);
    head.writeUInt32BE(table.bytes.length, entry + 12);
    // Tables begin at multiples of four.
    const padding = (4 - (table.bytes.length % 4)) % 4;
    parts.push(table.bytes, Buffer.alloc(padding));
    at += table.bytes.length + padding;
  }
  return Buffer.concat(parts);
}
