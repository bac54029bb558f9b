/**
 * The faces of the printed page, and which of them has a glyph for which character. Atkinson Hyperlegible (made for
 * legibility) for words, its Mono for figures; its Latin files lack ₂ ≥ ≤ Δ → ✓, which come from DejaVu Sans.
 * Static .woff files, unpacked once; the PDF writer subsets and embeds them.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import * as fontkit from 'fontkit';
import { sfntOf } from './sfnt.ts';

const require = createRequire(import.meta.url);

const next = '@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin';
const mono = '@fontsource/atkinson-hyperlegible-mono/files/atkinson-hyperlegible-mono-latin';
const signs = '@fontsource/dejavu-sans/files/dejavu-sans-latin';

export type FaceName = 'Words' | 'WordsExt' | 'Figures' | 'FiguresExt' | 'Signs';

/** Package files of each face, regular and bold. */
const files: Readonly<Record<FaceName, { readonly normal: string; readonly bold: string }>> = {
  Words: { normal: `${next}-400-normal.woff`, bold: `${next}-600-normal.woff` },
  WordsExt: { normal: `${next}-ext-400-normal.woff`, bold: `${next}-ext-600-normal.woff` },
  Figures: { normal: `${mono}-400-normal.woff`, bold: `${mono}-600-normal.woff` },
  FiguresExt: { normal: `${mono}-ext-400-normal.woff`, bold: `${mono}-ext-600-normal.woff` },
  Signs: { normal: `${signs}-400-normal.woff`, bold: `${signs}-700-normal.woff` },
};

/** In which order the faces are asked for a character. */
const order: Readonly<Record<'Words' | 'Figures', readonly FaceName[]>> = {
  Words: ['Words', 'WordsExt', 'Signs'],
  Figures: ['Figures', 'FiguresExt', 'Signs'],
};

export interface LoadedFace {
  readonly name: FaceName;
  /** Plain font files. */
  readonly normal: Buffer;
  readonly bold: Buffer;
  readonly has: ReadonlySet<number>;
}

let loaded: ReadonlyMap<FaceName, LoadedFace> | undefined;

/** Reads the faces once; a missing file is an installation fault and throws. */
export function faces(): ReadonlyMap<FaceName, LoadedFace> {
  loaded ??= new Map(
    (Object.keys(files) as FaceName[]).map((name) => {
      const [normal, bold] = [files[name].normal, files[name].bold].map((file) => sfntOf(readFileSync(require.resolve(file)))) as [Buffer, Buffer];
      const covered = [normal, bold].map((bytes) => new Set(fontkit.create(bytes).characterSet));
      const [regular = new Set<number>(), heavy = new Set<number>()] = covered;
      return [name, { name, normal, bold, has: new Set([...regular].filter((code) => heavy.has(code))) }];
    }),
  );
  return loaded;
}

/** Files for a drawing surface that takes paths. */
export function facePaths(): readonly { readonly path: string; readonly family: string }[] {
  return [
    { path: require.resolve(files.Words.normal), family: 'Atkinson Hyperlegible Next' },
    { path: require.resolve(files.Words.bold), family: 'Atkinson Hyperlegible Next' },
    { path: require.resolve(files.Signs.normal), family: 'DejaVu Sans' },
    { path: require.resolve(files.Signs.bold), family: 'DejaVu Sans' },
  ];
}

/** Stands for what no face has a glyph for. */
export const REPLACEMENT = '\ufffd';

export interface Run {
  readonly text: string;
  readonly font: FaceName;
}

export interface Printed {
  readonly runs: readonly Run[];
  /** How many characters had to be replaced. */
  readonly replaced: number;
}

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' });
/** Joiners and selectors that print nothing by themselves; line ends and tabs are made into blanks or kept by the caller. */
const invisible = /\u00ad|[\u200b-\u200f\u2028-\u202f\u2060-\u206f]|[\ufe00-\ufe0f]|\ufeff/g;
// eslint-disable-next-line no-control-regex -- control characters are what is taken out here
const control = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f]/g;

/**
 * Parts a text into runs by face, so that every character has a glyph. What no face can print is replaced by a visible mark,
 * one for each character as a reader counts them, and counted, so that the page can say so.
 */
export function printable(text: string, kind: 'Words' | 'Figures' = 'Words'): Printed {
  const runs: { text: string; font: FaceName }[] = [];
  let replaced = 0;
  const put = (piece: string, font: FaceName): void => {
    const last = runs.at(-1);
    if (last?.font === font) last.text += piece;
    else runs.push({ text: piece, font });
  };
  const flat = text.normalize('NFC').replaceAll('\r\n', '\n').replaceAll('\r', '\n').replaceAll('\t', '  ').replaceAll('\u202f', '\u00a0').replace(control, '');
  for (const { segment } of graphemes.segment(flat)) {
    const visible = segment.replace(invisible, '');
    if (visible === '') continue;
    const last = runs.at(-1)?.font;
    // A blank stays in the face before it, so that a word of signs does not break a line into many runs.
    const font = /^[ \n\u00a0]$/.test(visible) ? (last ?? order[kind][0]) : faceFor(visible, kind);
    if (font === undefined) {
      replaced += 1;
      put(REPLACEMENT, 'Signs');
    } else put(visible, font);
  }
  return { runs, replaced };
}

function faceFor(segment: string, kind: 'Words' | 'Figures'): FaceName | undefined {
  const codes = [...segment].map((character) => character.codePointAt(0) ?? 0);
  return order[kind].find((name) => codes.every((code) => faces().get(name)?.has.has(code)));
}
