/** Opens a handed-in file for a marking set: what is found about it, its record to be kept, and its marks by the set's key. */
import { createHash } from 'node:crypto';
import { deflateRawSync, inflateRawSync } from 'node:zlib';
import type { MarkedRecord } from '../../core/marking-set/marked-record.ts';
import { markRecord } from '../../core/marking-set/marked-record.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import { keyedSheet } from '../../core/worksheet/answer-key.ts';
import { LARGEST_ATTACHMENT } from '../../core/worksheet/json-limits.ts';
import { readWorksheetFile, type CheckedWorksheetFile } from '../../core/worksheet/read-file.ts';
import { extract } from './extract.ts';
import { signatureFinding } from './mark-one.ts';

/** The set's key, by which both processes mean the same. */
export interface SetKey {
  readonly hash: string;
  readonly sheet: string;
  readonly key?: string | undefined;
}

export interface FoundInFile {
  readonly code: string;
  readonly level: 'fact' | 'warning' | 'refusal';
  readonly text: string;
}

export interface OpenedForSet {
  /** SHA-256 of the file. */
  readonly bytes: string;
  readonly findings: readonly FoundInFile[];
  /** The record, where it is sound: its text's SHA-256, and the text packed as it is kept. */
  readonly record?: { readonly hash: string; readonly packed: Uint8Array };
  /** `CachedMarking` as JSON: it is kept as it is, and read only when somebody looks. */
  readonly marking?: string;
}
/** A record as a key marks it, or why it cannot be. */
export type CachedMarking = { readonly marked: MarkedRecord } | { readonly trouble: FoundInFile };

const refusal = (code: string, text: string): FoundInFile => ({ code, level: 'refusal', text });
const workedOut = (cause: unknown): FoundInFile => refusal('cannot-be-worked-out', `The record could not be worked out (${(cause as Error).message.slice(0, 200)}). No marks were given.`);

let parsedKey: { readonly hash: string; readonly sheet: LabSheet } | undefined;

/** A class is marked by one key: it is read once. The desk has checked it before it was adopted. */
function sheetOf(key: SetKey): LabSheet {
  if (parsedKey?.hash !== key.hash) {
    const loaded = keyedSheet(key.sheet, key.key);
    if (!loaded.ok) throw new Error(`the key cannot be read: ${loaded.problems[0]?.message ?? ''}`);
    parsedKey = { hash: key.hash, sheet: loaded.sheet };
  }
  return parsedKey.sheet;
}

/** Never throws: what is not foreseen is a finding too, and the other files go on. */
export async function openForSet(bytes: Uint8Array, key?: SetKey): Promise<OpenedForSet> {
  const hash = createHash('sha256').update(bytes).digest('hex');
  const refused = (finding: FoundInFile, before: readonly FoundInFile[] = []): OpenedForSet => ({ bytes: hash, findings: [...before, finding] });
  try {
    const extracted = await extract(bytes);
    if (!extracted.ok) return refused(refusal(extracted.error.code, extracted.error.message));
    const { text, kind } = extracted.value;
    const read = readWorksheetFile(text);
    if (!read.ok) return refused(refusal(read.error.code, read.error.message));
    const findings: FoundInFile[] = read.value.findings.map(({ code, level, text: says }) => ({ code, level, text: says }));
    findings.push(signatureFinding(read.value.file));
    if (kind === 'pdf') findings.push({ code: 'pages-not-trusted', level: 'fact', text: 'What is printed on the pages is not trusted; marks come from the attached record.' });
    if (!read.value.sound || findings.some(({ level }) => level === 'refusal')) return { bytes: hash, findings };
    return { bytes: hash, findings, ...keep(text), ...(key === undefined ? {} : mark(read.value, key, findings)) };
  } catch (cause) {
    return refused(workedOut(cause));
  }
}

function keep(text: string): Pick<OpenedForSet, 'record'> {
  return { record: { hash: createHash('sha256').update(text).digest('hex'), packed: deflateRawSync(text, { level: 1 }) } };
}

function mark(checked: CheckedWorksheetFile, key: SetKey, findings: FoundInFile[]): Pick<OpenedForSet, 'marking'> {
  try {
    return { marking: asText({ marked: markRecord(checked, sheetOf(key)) }) };
  } catch (cause) {
    findings.push(workedOut(cause));
    return {};
  }
}

const asText = (marking: CachedMarking): string => JSON.stringify(marking);

/** The record's text again. @throws where it is no packed record. */
export function unpackRecord(packed: Uint8Array): string {
  return inflateRawSync(packed, { maxOutputLength: LARGEST_ATTACHMENT + 1024 }).toString('utf8');
}

/** `CachedMarking` as JSON. */
export function remarkRecord(packed: Uint8Array, key: SetKey): string {
  try {
    const read = readWorksheetFile(unpackRecord(packed));
    if (!read.ok) return asText({ trouble: refusal(read.error.code, read.error.message) });
    if (!read.value.sound) return asText({ trouble: refusal('altered', 'The kept record is not as it was written any more. No marks were given.') });
    return asText({ marked: markRecord(read.value, sheetOf(key)) });
  } catch (cause) {
    return asText({ trouble: workedOut(cause) });
  }
}
