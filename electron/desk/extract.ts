/** Takes the record out of a handed-in file: the attachment of a PDF, or the `.json` itself. Nothing in a PDF is ever run. */
import { failure, success, type Result } from '../../core/result.ts';
import { ATTACHMENT_NAME } from '../../core/worksheet/file.ts';
import { LARGEST_ATTACHMENT } from '../../core/worksheet/json-limits.ts';

/** A whole file larger than this is not opened: the page and its attachment stay far below. */
export const LARGEST_FILE = 60 * 1024 * 1024;

export interface Extracted {
  readonly kind: 'pdf' | 'json';
  /** The record's text. */
  readonly text: string;
}

/** Which kind of file it is, by what it holds and not by its name. */
export function kindOf(bytes: Uint8Array): 'pdf' | 'json' | 'zip' | 'empty' | 'unknown' {
  if (bytes.length === 0) return 'empty';
  const head = Buffer.from(bytes.buffer, bytes.byteOffset, Math.min(bytes.length, 1024)).toString('latin1');
  if (head.includes('%PDF-')) return 'pdf';
  if (head.startsWith('PK\u0003\u0004')) return 'zip';
  return /^(?:\u00ef\u00bb\u00bf)?\s*[{[]/.test(head) ? 'json' : 'unknown';
}

/** @returns the record's text, or in words why there is none. Codes: `empty`, `too-large`, `not-a-worksheet`, `zip`, `stripped`, `damaged`, `password`, `not-text`. */
export async function extract(bytes: Uint8Array): Promise<Result<Extracted>> {
  if (bytes.length > LARGEST_FILE) return failure('too-large', `The file has ${Math.round(bytes.length / 1024 / 1024)} MB, far more than a worksheet. It was not opened.`);
  switch (kindOf(bytes)) {
    case 'empty':
      return failure('empty', 'The file is empty. Ask for it again.');
    case 'zip':
      return failure('zip', 'This is a packed folder. Unpack it and add the files in it.');
    case 'unknown':
      return failure('not-a-worksheet', 'This is neither a PDF nor a record in .json.');
    case 'json': {
      if (bytes.length > LARGEST_ATTACHMENT) return failure('too-large', 'The record is larger than 20 MB, which no test reaches. It was not read.');
      const text = decode(bytes);
      return text === undefined ? failure('not-text', 'The file is damaged: it is not text.') : success({ kind: 'json', text });
    }
    case 'pdf':
      return fromPdf(bytes);
  }
}

function decode(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return undefined;
  }
}

const damaged = (bytes: Uint8Array): Result<never> => {
  const end = Buffer.from(bytes.subarray(Math.max(0, bytes.length - 2048))).toString('latin1');
  return failure('damaged', end.includes('%%EOF') ? 'The PDF is damaged and cannot be read. Ask for it again, or for the record as .json.' : 'The PDF is cut short: its end is missing. Ask for it again, or for the record as .json.');
};

async function fromPdf(bytes: Uint8Array): Promise<Result<Extracted>> {
  const { getDocument, VerbosityLevel } = await import('pdfjs-dist/legacy/build/pdf.mjs');
  const task = getDocument({
    // The reader takes the bytes over; the caller keeps its own.
    data: Uint8Array.from(bytes),
    verbosity: VerbosityLevel.ERRORS,
    isEvalSupported: false,
    enableXfa: false,
    useSystemFonts: false,
    disableFontFace: true,
    stopAtErrors: false,
  });
  try {
    const document = await task.promise;
    const attachments = (await document.getAttachments()) as Record<string, { filename: string; content?: Uint8Array }> | null;
    const all = Object.values(attachments ?? {});
    const own = all.find((file) => file.filename === ATTACHMENT_NAME) ?? all.find((file) => file.filename.toLowerCase().endsWith('.json'));
    if (own?.content === undefined) return await withoutRecord(document, bytes);
    if (own.content.length > LARGEST_ATTACHMENT) return failure('too-large', 'The attached record is larger than 20 MB, which no test reaches. It was not read.');
    const text = decode(own.content);
    if (text === undefined || text === '') return failure('damaged', 'The attached record is damaged. Ask for the file again, or for the record as .json.');
    return success({ kind: 'pdf', text });
  } catch (cause) {
    const { name } = cause as Error;
    if (name === 'PasswordException') return failure('password', 'The PDF is locked with a password. Ask for it without one, as it was exported.');
    return damaged(bytes);
  } finally {
    await task.destroy();
  }
}

interface PdfDocument {
  readonly numPages: number;
  getMetadata(): Promise<{ info: unknown }>;
  getPage(number: number): Promise<{ getTextContent(): Promise<{ items: readonly object[] }> }>;
}

/** A PDF without a record inside: one of ours that lost it, or something else. */
async function withoutRecord(document: PdfDocument, bytes: Uint8Array): Promise<Result<never>> {
  if (!Buffer.from(bytes.subarray(Math.max(0, bytes.length - 2048))).toString('latin1').includes('%%EOF')) return damaged(bytes);
  const { info } = await document.getMetadata();
  const creator = (info as { Creator?: unknown }).Creator;
  const ours = (typeof creator === 'string' && creator.startsWith('Stagecall')) || (await lastPageNames(document));
  return ours
    ? failure('stripped', 'The record was stripped from this PDF: printing it or saving it again in another program does that. Ask for the file as it was exported, or for the record as .json. The pages alone are not marked.')
    : failure('not-a-worksheet', 'This PDF has no record attached: it is no worksheet, or the record was stripped from it. Ask for the file as it was exported.');
}

async function lastPageNames(document: PdfDocument): Promise<boolean> {
  try {
    const { items } = await (await document.getPage(document.numPages)).getTextContent();
    return items.map((item) => ('str' in item ? String(item.str) : '')).join(' ').includes(ATTACHMENT_NAME);
  } catch {
    return false;
  }
}
