/**
 * Packed folders of handed-in worksheets. The central directory is read by a library; here are the limits: how much comes out
 * of a packed folder, at which ratio, and under which names. Nothing is written to disk, so a name can lead nowhere; a name that
 * tries to is refused all the same, since feedback is written under the names that came in.
 */
import { promisify } from 'node:util';
import { crc32, inflateRaw } from 'node:zlib';
import yauzl, { type Entry, type ZipFile } from 'yauzl';
import { failure, success, type Result } from '../../core/result.ts';

export interface ZipLimits {
  /** Files and folders listed. */
  readonly entries: number;
  /** Bytes of one file, unpacked. */
  readonly fileBytes: number;
  /** Bytes of all files, unpacked. */
  readonly totalBytes: number;
  /** How many times its packed size a file may become. Worksheets reach about 20. */
  readonly ratio: number;
}
export const usualZipLimits: ZipLimits = { entries: 5_000, fileBytes: 60 * 1024 * 1024, totalBytes: 500 * 1024 * 1024, ratio: 200 };
/** Below this size no ratio is suspicious: a small text of blanks packs to nothing. */
const SMALL = 256 * 1024;
const LONGEST_NAME = 300;

export interface UnpackedFile {
  /** Name without folders. */
  readonly name: string;
  /** Folders inside the packed one, with `/`; empty at its top. */
  readonly folder: string;
  readonly bytes: Uint8Array;
}
/** A file that was not taken out, and why, in words. */
export interface LeftPacked {
  /** As it is named in the packed folder, made safe to show. */
  readonly name: string;
  readonly code: 'bad-name' | 'twice' | 'link' | 'password' | 'nested' | 'too-large' | 'bomb' | 'damaged' | 'not-a-worksheet';
  readonly text: string;
}
export interface Unpacked {
  readonly files: readonly UnpackedFile[];
  /** One file's fault never stops the rest; each is listed. */
  readonly left: readonly LeftPacked[];
}

/** What systems put into packed folders by themselves. */
const clutter = /(?:^|\/)(?:__MACOSX\/|\.DS_Store$|\._|Thumbs\.db$|desktop\.ini$)/i;
const inflate = promisify(inflateRaw) as (bytes: Uint8Array, options: { maxOutputLength: number }) => Promise<Buffer>;

/**
 * Takes the worksheets (`.pdf`, `.json`) out of a packed folder.
 * @returns a failure where the packed folder as a whole is refused (`damaged`, `too-many`, `bomb`, `empty`); else its files, and
 *   what was left packed with the reason.
 */
export async function unzipWorksheets(bytes: Uint8Array, limits: ZipLimits = usualZipLimits): Promise<Result<Unpacked>> {
  let zip: ZipFile;
  try {
    zip = await yauzl.fromBufferPromise(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength), { lazyEntries: true, decodeStrings: false, validateEntrySizes: true });
  } catch {
    return failure('damaged', 'The packed folder is damaged or cut short and cannot be opened. Ask for it again, or for the files in it.');
  }
  try {
    if (zip.entryCount > limits.entries) return failure('too-many', `The packed folder lists ${zip.entryCount} files, more than ${limits.entries}. It was not opened; pack a class at a time.`);
    return await takeOut(zip, bytes, limits);
  } finally {
    zip.close();
  }
}

async function takeOut(zip: ZipFile, bytes: Uint8Array, limits: ZipLimits): Promise<Result<Unpacked>> {
  const files: UnpackedFile[] = [];
  const left: LeftPacked[] = [];
  const names = new Set<string>();
  const places = new Set<number>();
  let total = 0;
  let seen = 0;
  const entries = zip.eachEntry();
  for (;;) {
    let next: IteratorResult<Entry>;
    try {
      next = await entries.next();
    } catch {
      if (files.length === 0) return failure('damaged', 'The packed folder is damaged and cannot be read. Ask for it again, or for the files in it.');
      left.push({ name: 'the rest of the packed folder', code: 'damaged', text: 'The packed folder is damaged from here on; what stands behind this place could not be read. Ask for it again.' });
      break;
    }
    if (next.done === true) break;
    const entry = next.value;
    seen += 1;
    // The count that the file states can be a lie.
    if (seen > limits.entries) return failure('too-many', `The packed folder lists more than ${limits.entries} files. It was not opened; pack a class at a time.`);
    const named = nameOf(entry);
    if (named.name !== undefined && (named.name.endsWith('/') || clutter.test(named.name))) continue;
    const refused = refusalOf(entry, named, names, places, limits);
    if (refused) {
      left.push(refused);
      continue;
    }
    const name = named.name ?? '';
    total += entry.uncompressedSize;
    if (total > limits.totalBytes) return failure('bomb', `The packed folder unpacks to more than ${Math.round(limits.totalBytes / 1024 / 1024)} MB, far more than a class hands in. Nothing was taken out of it.`);
    const content = await contentOf(zip, bytes, entry);
    if (content === undefined) left.push({ name: shown(name), code: 'damaged', text: 'This file is damaged in the packed folder. Ask for it again.' });
    else if (content[0] === 0x50 && content[1] === 0x4b && content[2] === 3 && content[3] === 4) left.push(nested(name));
    else {
      const at = name.lastIndexOf('/');
      files.push({ name: name.slice(at + 1), folder: at < 0 ? '' : name.slice(0, at), bytes: content });
    }
  }
  if (files.length === 0 && left.length === 0) return failure('empty', 'The packed folder holds no files. Ask for it again.');
  return success({ files, left });
}

interface Named {
  readonly name?: string;
  readonly raw: string;
}

/** The name with `/` between folders, or none where it leads out of its folder or holds what no name may hold. */
function nameOf(entry: Entry): Named {
  const raw = yauzl.getFileNameLowLevel(entry.generalPurposeBitFlag, entry.fileNameRaw, entry.extraFields, false);
  const name = raw.replaceAll('\\', '/');
  const parts = name.replace(/\/$/, '').split('/');
  // eslint-disable-next-line no-control-regex -- NUL and its like are what is looked for
  const bad = name === '' || name.length > LONGEST_NAME || name.startsWith('/') || /^[A-Za-z]:/.test(name) || /[\u0000-\u001f\u007f\u202a-\u202e\u2066-\u2069]/.test(name) || parts.some((part) => part === '..' || part === '.' || part === '');
  return { raw, ...(bad ? {} : { name }) };
}

/** A name as it can be shown: without control characters, not too long. */
function shown(name: string): string {
  // eslint-disable-next-line no-control-regex -- control characters are what is taken out here
  const clean = name.replace(/[\u0000-\u001f\u007f\u202a-\u202e\u2066-\u2069]/g, '\ufffd');
  return clean.length > 120 ? `${clean.slice(0, 120)}…` : clean;
}

const nested = (name: string): LeftPacked => ({ name: shown(name), code: 'nested', text: 'This is a packed folder inside a packed folder. Unpack it and add the files in it.' });

function refusalOf(entry: Entry, { name, raw }: Named, names: Set<string>, places: Set<number>, limits: ZipLimits): LeftPacked | undefined {
  const refuse = (code: LeftPacked['code'], text: string): LeftPacked => ({ name: shown(raw), code, text });
  if (name === undefined) return refuse('bad-name', 'The name of this file leads out of its folder, or holds characters that no name has. It was not opened.');
  // Unix file type, in the upper half of the attributes where the writer was a Unix: 0xa000 is a link.
  if (((entry.externalFileAttributes >>> 16) & 0xf000) === 0xa000) return refuse('link', 'This is a link to another file and not a file. It was not followed.');
  // Two names that differ in their case only are one file on many disks.
  const plain = name.normalize('NFC').toLowerCase();
  if (names.has(plain)) return refuse('twice', 'The packed folder holds two files of this name. The first was taken.');
  names.add(plain);
  if (/\.(?:zip|7z|rar|gz|tgz|tar)$/i.test(name)) return nested(name);
  if (!/\.(?:pdf|json)$/i.test(name)) return refuse('not-a-worksheet', 'This is neither a PDF nor a record in .json. It was not opened.');
  if (entry.isEncrypted()) return refuse('password', 'This file is locked with a password in the packed folder. Ask for it without one.');
  if (places.has(entry.relativeOffsetOfLocalHeader)) return refuse('bomb', 'This file shares its content with another one in the packed folder, which no ordinary program writes. It was not opened.');
  places.add(entry.relativeOffsetOfLocalHeader);
  if (entry.uncompressedSize > limits.fileBytes) return refuse('too-large', `This file has ${Math.round(entry.uncompressedSize / 1024 / 1024)} MB unpacked, far more than a worksheet. It was not opened.`);
  if (entry.uncompressedSize > SMALL && entry.uncompressedSize > entry.compressedSize * limits.ratio) return refuse('bomb', `This file would unpack to more than ${limits.ratio} times its size, which no worksheet does. It was not opened.`);
  if (entry.compressionMethod !== 0 && entry.compressionMethod !== 8) return refuse('damaged', 'This file is packed in a way that is not read here. Pack the folder again, as an ordinary .zip.');
  return undefined;
}

/** The file's bytes; undefined where they are not what the directory says. Never more than it says. */
async function contentOf(zip: ZipFile, bytes: Uint8Array, entry: Entry): Promise<Uint8Array | undefined> {
  try {
    const { fileDataStart } = await zip.readLocalFileHeaderPromise(entry, { minimal: true });
    const packed = bytes.subarray(fileDataStart, fileDataStart + entry.compressedSize);
    const content = entry.compressionMethod === 0 ? Uint8Array.from(packed) : await inflate(packed, { maxOutputLength: Math.max(1, entry.uncompressedSize) });
    return content.length === entry.uncompressedSize && crc32(content) === entry.crc32 ? content : undefined;
  } catch {
    return undefined;
  }
}
