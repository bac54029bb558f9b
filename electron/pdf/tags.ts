/**
 * Real structure for the printed page: headings, paragraphs, tables with header cells, figures with alternative text, in reading
 * order. pdfkit writes marked content and a structure tree, pdfmake 0.3 lays out pages and knows nothing of either; here each
 * piece of text is given its place in the tree before the layout, and the layout's renderer is wrapped so that every line and
 * figure is drawn inside its place. What belongs to no place (rules, shades, running heads) is marked as an artifact.
 */
import { createRequire } from 'node:module';
import type { Block, InlineText } from './ink.ts';

/** Roles of ISO 32000 that are used here. `none` makes a table a mere arrangement. */
export type Role = 'H1' | 'H2' | 'H3' | 'P' | 'Caption' | 'Figure' | 'Formula' | 'none';

/** A place that content is drawn into. */
export interface Leaf {
  readonly role: string;
  readonly alt?: string;
  /** A heading row is drawn again on each page of a long table; only the first drawing is content. */
  readonly repeats?: boolean;
  /** Filled while drawing. */
  readonly contents: unknown[];
  page?: unknown;
}

export interface Branch {
  readonly role: string;
  readonly scope?: 'Row' | 'Column';
  readonly columns?: number;
  readonly children: (Branch | Leaf)[];
}

const isLeaf = (node: Branch | Leaf): node is Leaf => 'contents' in node;

/** Gives every piece of text and every figure its place, and returns the tree. Blocks are changed in place. */
export function planTags(content: readonly Block[]): Branch {
  const root: Branch = { role: 'Document', children: [] };
  for (const block of content) plan(block, root, false);
  return root;
}

function leafIn(parent: Branch, role: string, more: { readonly alt?: string; readonly repeats?: boolean } = {}): Leaf {
  const leaf: Leaf = { role, contents: [], ...more };
  parent.children.push(leaf);
  return leaf;
}

function plan(block: Block, parent: Branch, repeats: boolean): void {
  if (block.svg !== undefined) {
    block.structure = leafIn(parent, 'Figure', { alt: block.alt ?? 'A figure of this record.' });
    return;
  }
  if (block.role !== undefined && block.role !== 'none' && block.table === undefined) {
    const leaf: Leaf = { role: block.role, contents: [], ...(repeats ? { repeats } : {}) };
    if (fill(block, leaf)) parent.children.push(leaf);
    return;
  }
  if (block.table !== undefined) {
    planTable(block, parent, repeats);
    return;
  }
  for (const inner of [...(block.stack ?? []), ...(block.columns ?? [])]) plan(inner, parent, repeats);
  const leaf: Leaf = { role: 'P', contents: [], ...(repeats ? { repeats } : {}) };
  if (Array.isArray(block.text) && fill(block, leaf)) parent.children.push(leaf);
}

/** All text below a block goes into one place. */
function fill(block: Block, leaf: Leaf): boolean {
  let any = false;
  if (Array.isArray(block.text)) {
    for (const piece of block.text as { structure?: Leaf }[]) {
      piece.structure = leaf;
      any = true;
    }
  }
  for (const inner of [...(block.stack ?? []), ...(block.columns ?? []), ...(block.table?.body.flat() ?? [])]) if (fill(inner, leaf)) any = true;
  return any;
}

function planTable(block: Block, parent: Branch, repeats: boolean): void {
  const { table } = block;
  if (!table) return;
  if (block.role === 'none') {
    for (const row of table.body) for (const cell of row) plan(cell, parent, repeats);
    return;
  }
  const branch: Branch = { role: 'Table', children: [] };
  parent.children.push(branch);
  for (const [at, row] of table.body.entries()) {
    const inHead = at < (table.headerRows ?? 0);
    const line: Branch = { role: 'TR', children: [] };
    branch.children.push(line);
    let skip = 0;
    for (const [column, cell] of row.entries()) {
      if (skip > 0) {
        skip -= 1;
        continue;
      }
      const span = cell.colSpan ?? 1;
      skip = span - 1;
      const head = inHead || column === 0;
      const place: Branch = { role: head ? 'TH' : 'TD', ...(head ? { scope: inHead ? 'Column' : 'Row' } : {}), ...(span > 1 ? { columns: span } : {}), children: [] };
      line.children.push(place);
      plan(cell, place, inHead && at < (table.headerRows ?? 0));
    }
  }
}

/* What is used of pdfkit's document and of pdfmake's renderer; neither comes with types for it. */
interface StructureElement {
  readonly dictionary: { readonly data: Record<string, unknown> };
  add(child: unknown): StructureElement;
  end(): void;
}
export interface TaggedDocument {
  readonly page: unknown;
  struct(type: string, options?: object): StructureElement;
  addStructure(element: StructureElement): void;
  markContent(tag: 'Artifact', options: { readonly type: 'Pagination' | 'Layout' }): void;
  markStructureContent(tag: string): unknown;
  endMarkedContent(): void;
  hasMarkInfoDictionary(): boolean;
}
interface Renderer {
  readonly pdfDocument: TaggedDocument;
}
type Draw = (this: Renderer, item: { readonly inlines?: readonly InlineText[]; readonly structure?: Leaf }, ...more: unknown[]) => unknown;

let wrapped = false;

/**
 * Wraps the renderer once. It is pdfmake's own inside (the version is pinned, a test opens the structure of every kind of page);
 * without these functions no page is written, rather than one that claims a structure that it has not.
 */
export function wrapRenderer(): void {
  if (wrapped) return;
  const { default: renderer } = createRequire(import.meta.url)('pdfmake/js/Renderer.js') as { default: { prototype: Record<string, Draw | undefined> } };
  const { renderLine, renderSVG, renderVector } = renderer.prototype;
  if (!renderLine || !renderSVG || !renderVector) throw new Error('the PDF writer has changed inside: its renderer cannot be given a structure');
  renderer.prototype['renderLine'] = function (line, ...more) {
    return inPlace(this.pdfDocument, line.inlines?.[0]?.structure, 'Pagination', () => renderLine.call(this, line, ...more));
  };
  renderer.prototype['renderSVG'] = function (svg, ...more) {
    return inPlace(this.pdfDocument, svg.structure, 'Layout', () => renderSVG.call(this, svg, ...more));
  };
  renderer.prototype['renderVector'] = function (vector, ...more) {
    return inPlace(this.pdfDocument, undefined, 'Layout', () => renderVector.call(this, vector, ...more));
  };
  wrapped = true;
}

function inPlace(document: TaggedDocument, leaf: Leaf | undefined, artifact: 'Pagination' | 'Layout', draw: () => unknown): unknown {
  if (!document.hasMarkInfoDictionary()) return draw();
  if (leaf) leaf.page ??= document.page;
  if (leaf === undefined || (leaf.repeats === true && leaf.page !== document.page)) document.markContent('Artifact', { type: artifact });
  else leaf.contents.push(document.markStructureContent(leaf.role));
  try {
    return draw();
  } finally {
    document.endMarkedContent();
  }
}

/** Writes the tree, after everything has been drawn and before the document is ended. */
export function writeTree(document: TaggedDocument, root: Branch): void {
  const made = element(document, root);
  document.addStructure(made);
  made.end();
}

function element(document: TaggedDocument, node: Branch | Leaf): StructureElement {
  if (isLeaf(node)) {
    const made = document.struct(node.role, node.alt === undefined ? {} : { alt: node.alt });
    for (const content of node.contents) made.add(content);
    return made;
  }
  const made = document.struct(node.role);
  const { scope, columns } = node;
  if (scope !== undefined || columns !== undefined) made.dictionary.data['A'] = { O: 'Table', ...(scope === undefined ? {} : { Scope: scope }), ...(columns === undefined ? {} : { ColSpan: columns }) };
  for (const child of node.children) made.add(element(document, child));
  return made;
}
