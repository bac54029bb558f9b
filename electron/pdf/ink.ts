/** The hand of the printed page: type sizes, greys, hairlines, and the small pieces that every part is made of. */
import { printable, type FaceName } from './fonts.ts';
import type { Leaf, Role } from './tags.ts';

/** The part of the PDF writer's document that is used here; it is handed over as a whole in `write-worksheet.ts`. */
export interface Block {
  text?: InlineText[] | '';
  stack?: Block[];
  columns?: Block[];
  columnGap?: number;
  table?: { headerRows?: number; widths: (number | 'auto' | '*')[]; body: Block[][]; dontBreakRows?: boolean; keepWithHeaderRows?: number };
  layout?: TableLayout;
  canvas?: { type: 'line'; x1: number; y1: number; x2: number; y2: number; lineWidth: number; lineColor?: string }[];
  svg?: string;
  width?: number | 'auto' | '*';
  height?: number;
  margin?: [left: number, top: number, right: number, bottom: number];
  alignment?: 'left' | 'right' | 'center';
  colSpan?: number;
  noWrap?: boolean;
  lineHeight?: number;
  unbreakable?: boolean;
  headlineLevel?: number;
  fillColor?: string;
  /** What it is in the document's structure; texts are paragraphs, tables are tables where nothing is said (`tags.ts`). */
  role?: Role;
  /** What a figure shows, for those who cannot see it. */
  alt?: string;
  /** Its place in the structure, given by `tags.ts`. */
  structure?: Leaf;
}

export interface TableLayout {
  hLineWidth(at: number, node: { table: { body: unknown[][]; widths: unknown[] } }): number;
  hLineColor(at: number): string;
  vLineWidth(at: number): number;
  vLineColor?(at: number): string;
  paddingLeft(at: number): number;
  paddingRight(at: number, node: { table: { widths: unknown[] } }): number;
  paddingTop(at: number): number;
  paddingBottom(at: number): number;
  fillColor?(at: number): string | null;
}

export const ink = '#1b2225';
export const soft = '#566064';
export const hairline = '#d9d4c8';
export const band = '#f3f1ea';

export const size = { title: 16.5, section: 11.5, body: 9, small: 7.6, figure: 9, answer: 12.5 } as const;

/** Vertical rhythm in points. */
export const step = { hair: 2, small: 4, block: 10, section: 18 } as const;

export interface InkOptions {
  readonly bold?: boolean;
  readonly size?: number;
  readonly color?: string;
  /** Figures are set in the monospaced face, so that columns of numbers stand under each other. */
  readonly figures?: boolean;
  readonly struck?: boolean;
}

/** Collects what could not be printed, so that the page can say so. */
export class Ink {
  replaced = 0;

  /** A piece of text with a glyph for every character. */
  text(text: string, options: InkOptions = {}): InlineText[] {
    const { runs, replaced } = printable(text, options.figures === true ? 'Figures' : 'Words');
    this.replaced += replaced;
    return runs.map((run) => ({
      text: run.text,
      font: run.font,
      ...(options.bold === true ? { bold: true } : {}),
      ...(options.size === undefined ? {} : { fontSize: options.size }),
      ...(options.color === undefined ? {} : { color: options.color }),
      ...(options.struck === true ? { decoration: 'lineThrough' as const } : {}),
    }));
  }

  words(text: string, options: InkOptions = {}): InlineText[] {
    return this.text(text, options);
  }
  quiet(text: string, options: InkOptions = {}): InlineText[] {
    return this.text(text, { color: soft, size: size.small, ...options });
  }
  figure(text: string, options: InkOptions = {}): InlineText[] {
    return this.text(text, { figures: true, size: size.figure, ...options });
  }

  /** A section's heading with its strong line, kept with what follows by `headlineLevel`. */
  section(title: string, width: number): Block {
    return {
      stack: [{ text: this.text(title, { bold: true, size: size.section }), role: 'H2' }, rule(width, ink, 0.8)],
      margin: [0, step.section, 0, step.small],
      headlineLevel: 1,
    };
  }

  /** Paragraphs of a longer text, with its own line ends. */
  paragraphs(text: string, options: InkOptions = {}): Block {
    return { text: this.text(text, options), lineHeight: 1.18 };
  }
}

export interface InlineText {
  readonly text: string;
  readonly font: FaceName;
  readonly bold?: boolean;
  readonly fontSize?: number;
  readonly color?: string;
  readonly decoration?: 'lineThrough';
  structure?: Leaf;
}

/** A line across `width` points. */
export function rule(width: number, color: string = hairline, thickness = 0.5): Block {
  return { canvas: [{ type: 'line', x1: 0, y1: 0, x2: width, y2: 0, lineWidth: thickness, lineColor: color }], margin: [0, 2, 0, 0] };
}

export interface TableLook {
  /** Rows that are a band: shaded, without a line above. */
  readonly bands?: ReadonlySet<number>;
  readonly headerRows: number;
  /** Space between columns. */
  readonly gap?: number;
}

/** Hairlines between rows, one strong line under the head; nothing vertical. */
export function hairlines(look: TableLook): TableLayout {
  const { bands = new Set<number>(), headerRows, gap = 8 } = look;
  return {
    hLineWidth: (at, node) => (at === 0 ? 0 : at === headerRows && headerRows > 0 ? 0.8 : at === node.table.body.length ? 0.4 : bands.has(at) || bands.has(at - 1) ? 0 : 0.4),
    hLineColor: (at) => (at === headerRows && headerRows > 0 ? ink : hairline),
    vLineWidth: () => 0,
    paddingLeft: (at) => (at === 0 ? 0 : gap / 2),
    paddingRight: (at, node) => (at === node.table.widths.length - 1 ? 0 : gap / 2),
    paddingTop: (at) => (at < headerRows ? 0 : 2.6),
    paddingBottom: (at) => (at < headerRows ? 3 : 2),
    fillColor: (at) => (bands.has(at) ? band : null),
  };
}

/** Room for one line of text that stands for nothing: an empty table cell. */
export const empty: Block = { text: '' };
