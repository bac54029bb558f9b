/** Files that are something else altogether, told apart by how they begin, so that the message can say what they are. */
import { failure, type Failure } from '../result.ts';

/** Longest text that is read: an hour breath by breath is about 0.3 MB, so 50 MB is far beyond any test. */
export const LONGEST_TEXT = 50 * 1024 * 1024;

/** How a file of another kind begins (the file formats' own signatures), and what to tell the person. */
const signatures: readonly { readonly begins: RegExp; readonly code: string; readonly says: string }[] = [
  {
    begins: /^%PDF-/,
    code: 'pdf',
    says: 'This is a PDF. Export the data from the analyser as a text file (CSV or tab separated) instead.',
  },
  {
    begins: /^PK\u0003\u0004/,
    code: 'workbook',
    says: 'This is a spreadsheet workbook or a zip archive. Open it and save the sheet with the data as CSV, then choose that file.',
  },
  {
    begins: /^\u00d0\u00cf\u0011\u00e0|^[\u00d0\ufffd][\u00cf\ufffd]\u0011[\u00e0\ufffd]/,
    code: 'workbook',
    says: 'This is an old spreadsheet or document. Open it and save the sheet with the data as CSV, then choose that file.',
  },
  {
    begins: /^\s*<(!doctype|html|head|body|table|\?xml|[a-z][\w:-]*[\s>])/i,
    code: 'markup',
    says: 'This is a web page or an XML file, not a table of text. Export the data as CSV or tab separated text.',
  },
  {
    begins: /^\s*\{\s*("|\})/,
    code: 'json',
    says: 'This is a JSON file, not a table of text. Export the data as CSV or tab separated text.',
  },
  {
    begins: /^\s*\[\s*[[{"\d\]-]/,
    code: 'json',
    says: 'This is a JSON file, not a table of text. Export the data as CSV or tab separated text.',
  },
];

/**
 * Why a text cannot be a table of gas exchange, or undefined when it may be one.
 * @param text the whole file as text.
 */
export function refuseOther(text: string): { readonly ok: false; readonly error: Failure } | undefined {
  if (text.length > LONGEST_TEXT) {
    return failure(
      'too-large',
      `The file is ${Math.round(text.length / 1024 / 1024)} MB; up to 50 MB are read. Nothing was kept. Export one test only.`,
    );
  }
  const start = text.slice(0, 4096);
  if (start.replace(/^\ufeff/, '').trim() === '' && text.trim() === '') return failure('empty', 'The file is empty. Nothing was kept.');
  for (const { begins, code, says } of signatures) {
    if (!begins.test(start.replace(/^\ufeff/, ''))) continue;
    // A settings block such as [10] may begin a text table; JSON also ends as it began.
    if (code === 'json' && !/[\]}]\s*$/.test(text.slice(-200))) continue;
    return failure(code, `${says} Nothing was kept.`);
  }
  // Control characters other than tab and line ends do not occur in text.
  const odd = start.match(/[\u0000-\u0008\u000e-\u001f\ufffd]/g)?.length ?? 0;
  if (odd > 0 && (start.includes('\u0000') || odd > start.length / 100)) {
    return failure(
      'binary',
      'This is not a text file: it holds bytes that are no characters. Nothing was kept. Export the data as CSV or tab separated text.',
    );
  }
  return undefined;
}
