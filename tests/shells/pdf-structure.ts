/** Reads the structure of a tagged PDF with pdfjs, and holds that every drawn word is in it or marked as an artifact. */
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { expect } from 'vitest';

interface Branch {
  readonly role: string;
  readonly alt?: string;
  readonly lang?: string;
  readonly children: readonly (Branch | { readonly type: string; readonly id: string })[];
}

export interface Placed {
  readonly role: string;
  /** Of a figure. */
  readonly alt?: string;
  /** What is drawn in it, blanks made one. */
  readonly text: string;
  /** Roles of the elements around it, outermost first. */
  readonly above: readonly string[];
}

/** Every structure element of a document in reading order, with the text that is drawn inside it. */
export async function structureOf(bytes: Uint8Array): Promise<readonly Placed[]> {
  const task = getDocument({ data: Uint8Array.from(bytes), verbosity: 0, isEvalSupported: false });
  try {
    const document = await task.promise;
    const found: Placed[] = [];
    for (let number = 1; number <= document.numPages; number += 1) {
      const page = await document.getPage(number);
      const drawn = new Map<string, string>();
      let open: (string | undefined)[] = [];
      for (const item of (await page.getTextContent({ includeMarkedContent: true })).items as { type?: string; id?: string; str?: string; tag?: string }[]) {
        if (item.type === 'beginMarkedContentProps' || item.type === 'beginMarkedContent') open.push(item.id ?? undefined);
        else if (item.type === 'endMarkedContent') open = open.slice(0, -1);
        else {
          // Nothing is drawn outside of a place in the structure or an artifact.
          expect(open.length, `"${item.str ?? ''}"`).toBe(1);
          const place = open[0];
          if (place !== undefined) drawn.set(place, `${drawn.get(place) ?? ''}${item.str ?? ''}`);
        }
      }
      const walk = (node: Branch, above: readonly string[]): void => {
        const own = node.children.flatMap((child) => ('role' in child ? [] : [drawn.get(child.id) ?? '']));
        if (node.role !== 'Root') found.push({ role: node.role, text: own.join('').replace(/\s+/g, ' ').trim(), above, ...(node.alt === undefined ? {} : { alt: node.alt }) });
        for (const child of node.children) if ('role' in child) walk(child, [...above, node.role]);
      };
      const tree = (await page.getStructTree()) as Branch | null;
      if (tree) walk(tree, []);
    }
    return found;
  } finally {
    await task.destroy();
  }
}

