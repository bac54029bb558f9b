/** One way from blocks to the bytes of a PDF, for every document of the program: paper, margins, running heads, structure, attachment. */
import { createRequire } from 'node:module';
import { faces, type FaceName } from './fonts.ts';
import { size, type Block } from './ink.ts';
import { planTags, wrapRenderer, writeTree, type TaggedDocument } from './tags.ts';

export type Paper = 'A4' | 'Letter';

/** Points. Margins leave room for a hole punch at the left. */
const papers = { A4: { width: 595.28, height: 841.89 }, Letter: { width: 612, height: 792 } } as const;
export const margin = { left: 54, right: 46, top: 54, bottom: 56 } as const;

/** Points between the margins. */
export const textWidth = (paper: Paper): number => papers[paper].width - margin.left - margin.right;

export interface Printing {
  readonly paper: Paper;
  readonly title: string;
  readonly subject: string;
  readonly author?: string;
  /** Of this program. */
  readonly version: string;
  /** Wall clock of the writing, ISO 8601: the same input gives the same bytes. */
  readonly wall: string;
  readonly content: Block[];
  readonly header: (at: number) => Block;
  readonly footer: (at: number, of: number) => Block;
  readonly attachment?: { readonly name: string; readonly text: string; readonly description: string };
}

/** Writes a document: tagged, in British English, with its title shown. */
export async function print(input: Printing): Promise<Uint8Array> {
  const written = new Date(input.wall);
  const tree = planTags(input.content);
  for (const block of input.content) keepWhole(block, false);
  const definition = {
    pageSize: input.paper === 'A4' ? 'A4' : 'LETTER',
    pageMargins: [margin.left, margin.top, margin.right, margin.bottom],
    version: '1.7',
    language: 'en-GB',
    tagged: true,
    displayTitle: true,
    info: {
      title: input.title,
      ...(input.author === undefined ? {} : { author: input.author }),
      subject: input.subject,
      creator: `Stagecall ${input.version}`,
      producer: 'pdfmake',
      creationDate: written,
      modDate: written,
    },
    content: input.content,
    header: (at: number) => input.header(at),
    footer: (at: number, of: number) => input.footer(at, of),
    // A heading never stands alone at the foot of a page, nor a long question with its first lines.
    pageBreakBefore: (node: { headlineLevel?: number; startPosition: { verticalRatio: number } }, queries: { getFollowingNodesOnPage(): unknown[] }) =>
      breaksBefore(node.headlineLevel, node.startPosition.verticalRatio, queries.getFollowingNodesOnPage().length),
    defaultStyle: { font: 'Words', fontSize: size.body, color: '#1b2225', lineHeight: 1.08 },
    ...(input.attachment === undefined
      ? {}
      : {
          files: {
            [input.attachment.name]: {
              src: `data:application/json;base64,${Buffer.from(input.attachment.text, 'utf8').toString('base64')}`,
              name: input.attachment.name,
              type: 'application/json',
              description: input.attachment.description,
              relationship: 'Data',
              creationDate: written,
              modifiedDate: written,
            },
          },
        }),
  };
  const made = printer().createPdf(definition);
  writeTree(await made.getStream(), tree);
  return new Uint8Array(await made.getBuffer());
}

/** A page break asked for inside a block that is kept whole loses the block (pdfmake 0.3): there, nothing asks for one. */
function keepWhole(block: Block, inside: boolean): void {
  if (inside) delete block.headlineLevel;
  const below = inside || block.unbreakable === true;
  for (const inner of [...(block.stack ?? []), ...(block.columns ?? []), ...(block.table?.body.flat() ?? [])]) keepWhole(inner, below);
}

/** `ratio` is how far down the page a block begins. */
function breaksBefore(level: number | undefined, ratio: number, following: number): boolean {
  if (level === 1) return following === 0 || ratio > 0.88;
  // The first question moves to the next page from 0.72 on, and takes its heading with it.
  if (level === 3) return ratio > 0.68;
  return level === 2 && ratio > 0.72;
}

interface Printer {
  addFonts(fonts: Record<string, Record<'normal' | 'bold' | 'italics' | 'bolditalics', string>>): void;
  setUrlAccessPolicy(policy: (url: string) => boolean): void;
  setLocalAccessPolicy(policy: (path: string) => boolean): void;
  readonly virtualfs: { writeFileSync(name: string, bytes: Buffer): void };
  createPdf(definition: unknown): { getStream(): Promise<TaggedDocument>; getBuffer(): Promise<Buffer> };
}

let prepared: Printer | undefined;

/** The PDF writer with its doors closed: it fetches nothing and reads no file; the faces are handed to it. */
function printer(): Printer {
  if (prepared !== undefined) return prepared;
  wrapRenderer();
  const pdfmake = createRequire(import.meta.url)('pdfmake') as Printer;
  pdfmake.setUrlAccessPolicy(() => false);
  pdfmake.setLocalAccessPolicy(() => false);
  const fonts: Record<string, Record<'normal' | 'bold' | 'italics' | 'bolditalics', string>> = {};
  for (const [name, face] of faces() as ReadonlyMap<FaceName, { normal: Buffer; bold: Buffer }>) {
    const [normal, bold] = [`${name}-normal.ttf`, `${name}-bold.ttf`];
    pdfmake.virtualfs.writeFileSync(normal, face.normal);
    pdfmake.virtualfs.writeFileSync(bold, face.bold);
    fonts[name] = { normal, bold, italics: normal, bolditalics: bold };
  }
  pdfmake.addFonts(fonts);
  prepared = pdfmake;
  return pdfmake;
}
