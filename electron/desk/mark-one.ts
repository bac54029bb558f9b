/** Opens, checks and marks one handed-in file. Everything that can be wrong with it ends in a finding, said in words. */
import type { DeskFile } from '../../core/contract/contract.ts';
import { foldSession } from '../../core/session/fold.ts';
import type { SessionState } from '../../core/session/state.ts';
import { loadSheet } from '../../core/sheet/load.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import { seriesTextOf, type WorksheetFile } from '../../core/worksheet/file.ts';
import { foldWorksheet, type WorksheetState } from '../../core/worksheet/fold.ts';
import { markWorksheet, type Marking } from '../../core/worksheet/marking.ts';
import type { MarkedFile } from '../../core/worksheet/marks-csv.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import { markingInput } from '../../core/worksheet/record.ts';
import { isSealOf, shortNameOf } from '../station/key.ts';
import { extract } from './extract.ts';

/** A desk file with what is known of a refused one, for the marks table. */
export interface MarkedDeskFile extends DeskFile {
  readonly attachment?: WorksheetFile;
  readonly marking?: Marking;
  readonly about?: NonNullable<MarkedFile['about']>;
}

export interface MarkOptions {
  /** The instructor's own lab sheet; without it the copy in the record is the key, and the findings say so. */
  readonly sheet?: string | undefined;
  /** Public keys of the stations that the instructor knows, as stations export them. */
  readonly knownKeys?: readonly string[] | undefined;
}

type Finding = DeskFile['findings'][number];
const fact = (code: string, text: string): Finding => ({ code, level: 'fact', text });
const warning = (code: string, text: string): Finding => ({ code, level: 'warning', text });
const refusal = (code: string, text: string): Finding => ({ code, level: 'refusal', text });

let parsedKey: { readonly text: string; readonly loaded: ReturnType<typeof loadSheet> } | undefined;

/** A class is marked by one key: it is read once. */
function keyOf(text: string): ReturnType<typeof loadSheet> {
  if (parsedKey?.text !== text) parsedKey = { text, loaded: loadSheet(text, 'the answer key') };
  return parsedKey.loaded;
}

/** Never throws: what is not foreseen is a finding too, and the other files go on. */
export async function markOne(name: string, bytes: Uint8Array, options: MarkOptions = {}): Promise<MarkedDeskFile> {
  try {
    return await open(name, bytes, options);
  } catch (cause) {
    return { file: name, status: 'refused', findings: [refusal('cannot-be-worked-out', `The record could not be worked out (${(cause as Error).message.slice(0, 200)}). No marks were given; the file was left as it is.`)] };
  }
}

async function open(name: string, bytes: Uint8Array, options: MarkOptions): Promise<MarkedDeskFile> {
  const refused = (findings: readonly Finding[], more: Partial<MarkedDeskFile> = {}): MarkedDeskFile => ({ file: name, status: 'refused', findings, ...more });
  const key = options.sheet === undefined ? undefined : keyOf(options.sheet);
  if (key?.ok === false) {
    const [problem] = key.problems;
    return refused([refusal('bad-key', `The answer key is not a lab sheet: line ${problem?.line ?? 1}: ${problem?.message ?? ''}. Nothing was marked.`)]);
  }
  const extracted = await extract(bytes);
  if (!extracted.ok) return refused([refusal(extracted.error.code, extracted.error.message)]);
  const read = readWorksheetFile(extracted.value.text);
  if (!read.ok) return refused([refusal(read.error.code, read.error.message)]);
  const { file, findings: found, sound } = read.value;
  const findings: Finding[] = found.map(({ code, level, text }) => ({ code, level, text }));
  findings.push(signatureFinding(file));
  if (extracted.value.kind === 'pdf') findings.push(fact('pages-not-trusted', 'What is printed on the pages is not trusted; marks come from the attached record.'));

  const folded = tryFold(read.value);
  const more = { attachment: file, ...(folded === undefined ? {} : { about: aboutOf(folded) }) };
  if (!sound || findings.some((finding) => finding.level === 'refusal')) return refused(findings, more);
  if (folded === undefined) return refused([...findings, refusal('cannot-be-worked-out', 'The record cannot be worked out: its lab sheet or an event in it is not understood. No marks were given.')], more);
  const { session, worksheet } = folded;
  if (key === undefined) findings.push(warning('unverified-key', 'Unverified key: marked by the copy of the lab sheet in the file.'));
  else {
    const wrong = compareSheets(session.sheet, key.sheet);
    if (wrong !== undefined) findings.push(wrong);
    if (wrong?.level === 'refusal') return refused(findings, more);
  }
  const marking = markWorksheet(markingInput(session, worksheet, key?.sheet, seriesTextOf(file)));
  return { file: name, status: 'marked', findings: withKnown(findings, file, options), marking, ...more };
}

function tryFold(read: { readonly session: Parameters<typeof foldSession>[0]; readonly worksheet: Parameters<typeof foldWorksheet>[0] }): { readonly session: SessionState; readonly worksheet: WorksheetState } | undefined {
  try {
    const session = foldSession(read.session);
    // Slots are worked out on first use; a record that cannot be is found here.
    void session.slots;
    return { session, worksheet: foldWorksheet(read.worksheet) };
  } catch {
    return undefined;
  }
}

function aboutOf({ session, worksheet }: { readonly session: SessionState; readonly worksheet: WorksheetState }): NonNullable<MarkedFile['about']> {
  const participant = session.details['participant-code']?.typed;
  return { student: worksheet.student, session: worksheet.session, sheet: `${session.sheet.id} v${session.sheet.version}`, ...(participant === undefined ? {} : { participant }) };
}

/** What the signature on a handed-in file says: by which station, missing, or not fitting. */
export function signatureFinding(file: WorksheetFile): Finding {
  const { signature, events } = file.session;
  if (signature === undefined) return fact('unsigned', 'The session is not signed by a station.');
  const head = events.at(-1)?.hash ?? '';
  if (!isSealOf({ head, publicKey: signature.key, signature: signature.signature })) {
    return refusal('signature-bad', 'The station’s signature does not belong to this record: the record was written anew after it was signed. No marks were given.');
  }
  return fact('signed', `Signed by station ${shortNameOf(signature.key)}.`);
}

/** Says whether the signing station is one that the instructor knows; only where a list of them is given. */
function withKnown(findings: readonly Finding[], file: WorksheetFile, { knownKeys }: MarkOptions): readonly Finding[] {
  const { signature } = file.session;
  if (signature === undefined || knownKeys === undefined) return findings;
  return findings.map((finding) => {
    if (finding.code !== 'signed') return finding;
    return knownKeys.includes(signature.key)
      ? fact('signed-known', `Signed by ${shortNameOf(signature.key)}, a station that you know.`)
      : warning('signed-unknown', `Signed by ${shortNameOf(signature.key)}, which is not among the stations that you know.`);
  });
}

function compareSheets(own: LabSheet, key: LabSheet): Finding | undefined {
  if (own.id !== key.id) return refusal('wrong-sheet', `This worksheet belongs to the lab sheet "${own.id}", and the key is for "${key.id}". No marks were given.`);
  if (own.version !== key.version) return fact('sheet-version', `The test ran version ${own.version} of the lab sheet; it is marked by version ${key.version}.`);
  return undefined;
}
