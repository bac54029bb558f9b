/**
 * Files put together in one packed folder, without pressing them smaller: PDFs are pressed already. After PKWARE's APPNOTE 6.3,
 * sections 4.3.7, 4.3.12 and 4.3.16; names in UTF-8 (general purpose bit 11).
 */
export interface PackedFile {
  /** With `/` between its folders. */
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** 1 January 1980: a folder's date is of no use here, and the same files always give the same bytes. */
const DATE = 0x0021;
const UTF8 = 0x0800;

const table = Uint32Array.from({ length: 256 }, (_, byte) => {
  let value = byte;
  for (let bit = 0; bit < 8; bit += 1) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
  return value >>> 0;
});

function crc32(bytes: Uint8Array): number {
  let value = 0xffffffff;
  for (const byte of bytes) value = (value >>> 8) ^ (table[(value ^ byte) & 0xff] ?? 0);
  return (value ^ 0xffffffff) >>> 0;
}

/**
 * @returns the packed folder. Two files of one name get a number before the ending; a name never leads out of the folder.
 * @throws {RangeError} at 4 GB or 65,535 files, which the plain form cannot hold.
 */
export function packed(files: readonly PackedFile[]): Uint8Array {
  if (files.length > 65_535 || files.reduce((sum, { bytes }) => sum + bytes.length, 0) > 4e9) throw new RangeError('too much for one packed folder');
  const names = new Set<string>();
  const parts: Uint8Array[] = [];
  const directory: Uint8Array[] = [];
  let at = 0;
  for (const { name, bytes } of files) {
    const text = new TextEncoder().encode(ownName(safeName(name), names));
    const shared = [20, UTF8, 0, 0, DATE, ['long', crc32(bytes)], ['long', bytes.length], ['long', bytes.length], text.length, 0] as const;
    const head = fields([['long', 0x04034b50], ...shared]);
    directory.push(fields([['long', 0x02014b50], 20, ...shared, 0, 0, 0, ['long', 0], ['long', at]]), text);
    parts.push(head, text, bytes);
    at += head.length + text.length + bytes.length;
  }
  const size = directory.reduce((sum, { length }) => sum + length, 0);
  return joined([...parts, ...directory, fields([['long', 0x06054b50], 0, 0, files.length, files.length, ['long', size], ['long', at], 0])]);
}

function safeName(name: string): string {
  const kept = name.replaceAll('\\', '/').split('/').filter((part) => part !== '' && part !== '.' && part !== '..').map((part) => part.replace(/[:*?"<>|\u0000-\u001f]/g, '_'));
  return kept.join('/') || 'file';
}

function ownName(name: string, taken: Set<string>): string {
  let own = name;
  for (let number = 2; taken.has(own.toLowerCase()); number += 1) own = name.replace(/(\.[^./]+)?$/, (ending) => ` (${number})${ending}`);
  taken.add(own.toLowerCase());
  return own;
}

/** Little-endian: a bare number is two bytes, a long four. */
function fields(values: readonly (number | readonly ['long', number])[]): Uint8Array {
  return joined(values.map((value) => (typeof value === 'number' ? Uint8Array.of(value & 0xff, value >>> 8) : Uint8Array.of(value[1] & 0xff, (value[1] >>> 8) & 0xff, (value[1] >>> 16) & 0xff, value[1] >>> 24))));
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
