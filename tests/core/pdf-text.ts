/** The words on a PDF's pages, for tests. */
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';

/** All pages as one text, line ends as blanks. */
export async function pdfText(bytes: Uint8Array): Promise<string> {
  const task = getDocument({ data: Uint8Array.from(bytes), verbosity: 0, isEvalSupported: false });
  try {
    const document = await task.promise;
    const pages: string[] = [];
    for (let number = 1; number <= document.numPages; number += 1) {
      const { items } = await (await document.getPage(number)).getTextContent();
      pages.push(items.map((item) => ('str' in item ? item.str + (item.hasEOL ? ' ' : '') : '')).join(''));
    }
    return pages.join(' ').replaceAll(/\s+/g, ' ');
  } finally {
    await task.destroy();
  }
}
