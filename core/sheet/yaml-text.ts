/**
 * Reads the text of a lab sheet: plain YAML 1.2 data, with the place of every key and value kept, so that a problem
 * found later can name its line. Everything that YAML offers beyond plain data is refused: a sheet is written and read
 * by people, and may come from elsewhere.
 */
import { isAlias, isMap, isScalar, isSeq, LineCounter, parseDocument, type Node, type ParsedNode } from 'yaml';

/** Longest sheet that is looked at, in UTF-16 units. The contract lets a sheet of this size through. */
export const LONGEST_SHEET = 200_000;
/** Deepest nesting. The deepest place in a real sheet is 7. */
const DEEPEST = 16;

export type Path = readonly (string | number)[];

/** Where something stands in the file, counting from 1. */
export interface Place {
  readonly line: number;
  readonly column: number;
}

export interface TextProblem extends Place {
  readonly path: Path;
  readonly message: string;
  readonly remedy: string;
}

export interface Places {
  /** The value at this path; where there is none, the nearest thing around it. */
  value(path: Path): Place;
  /** The key that holds the value; for an item of a list, the item. */
  key(path: Path): Place;
}

export type YamlRead =
  | { readonly ok: true; readonly data: unknown; readonly places: Places }
  | { readonly ok: false; readonly problems: readonly TextProblem[] };

/** Plain data and places from a sheet's text. Never throws. */
export function readYaml(text: string): YamlRead {
  if (text.length > LONGEST_SHEET) {
    return refused({
      message: `the file has ${text.length.toLocaleString('en-GB')} characters, and a lab sheet may have at most ${LONGEST_SHEET.toLocaleString('en-GB')}`,
      remedy: 'check that this is a lab sheet; real ones are about a tenth of that',
    });
  }
  const body = text.startsWith('\uFEFF') ? text.slice(1) : text;
  const odd = unreadable(body);
  if (odd) return refused(odd);

  const lines = new LineCounter();
  let document;
  try {
    // Unique keys are checked in `collect`, which names both lines and takes one pass.
    document = parseDocument(body, { version: '1.2', schema: 'core', lineCounter: lines, uniqueKeys: false, merge: false, prettyErrors: false, logLevel: 'error' });
  } catch {
    return refused({ message: 'the file is not YAML that can be read', remedy: 'a lab sheet is text with lines like "title: …"' });
  }
  const at = (offset: number): Place => {
    const { line, col } = lines.linePos(offset);
    return { line: Math.max(1, line), column: Math.max(1, col) };
  };
  const [error] = document.errors;
  if (error) return refused({ ...at(error.pos[0]), ...inPlainWords(error.code, error.message) });
  if (document.directives?.yaml.explicit || body.startsWith('%')) {
    return refused({ message: 'lines that begin with % are not used in a lab sheet', remedy: 'take the line out, and "---" with it' });
  }

  const problems: TextProblem[] = [];
  const values = new Map<string, number>();
  const keys = new Map<string, number>();
  const note = (offset: number, path: Path, message: string, remedy: string): undefined => {
    if (problems.length < 20) problems.push({ ...at(offset), path, message, remedy });
  };

  const collect = (node: Node | null | undefined, path: Path, offset: number): unknown => {
    const start = (node as ParsedNode | null | undefined)?.range?.[0] ?? offset;
    // A group or list as a whole stands where its key stands, not where its first entry begins.
    const group = (isMap(node) || isSeq(node)) && typeof path.at(-1) === 'string';
    values.set(pathKey(path), group ? offset : start);
    if (node === null || node === undefined) return null;
    if (path.length > DEEPEST) return note(start, path, 'this is nested too deeply for a lab sheet', `at most ${DEEPEST} levels`);
    if (isAlias(node)) return note(start, path, '"*" points to another place of the file, which a lab sheet does not do', 'write the text out here; quote it if it begins with *');
    if (node.anchor !== undefined) return note(start, path, '"&" names a place of the file, which a lab sheet does not do', 'take the "&" and its name out; quote the text if it begins with &');
    if (node.tag !== undefined) return note(start, path, `"${node.tag}" is a type mark, which a lab sheet does not use`, 'write plain text; quote it if it begins with !');
    if (isScalar(node)) return typeof node.value === 'bigint' ? Number(node.value) : node.value;
    if (isSeq(node)) return node.items.map((item, index) => collect(item as Node, [...path, index], start));
    if (!isMap(node)) return note(start, path, 'this cannot be read', 'write plain lists and "key: value" lines');
    const data: Record<string, unknown> = {};
    const seen = new Map<string, number>();
    for (const pair of node.items) {
      const keyNode = pair.key as ParsedNode | null;
      const keyAt = keyNode?.range?.[0] ?? start;
      const name = isScalar(keyNode) && (typeof keyNode.value === 'string' || typeof keyNode.value === 'number') ? String(keyNode.value) : undefined;
      if (name === undefined || name === '__proto__' || keyNode?.tag !== undefined || (isScalar(keyNode) && keyNode.anchor !== undefined)) {
        note(keyAt, path, 'this is not a key', 'a key is one plain word before a colon');
        continue;
      }
      const first = seen.get(name);
      const here = [...path, name];
      if (first !== undefined) note(keyAt, here, `"${name}" is here twice (first in line ${at(first).line})`, 'keep one of the two');
      seen.set(name, keyAt);
      keys.set(pathKey(here), keyAt);
      data[name] = collect(pair.value as Node | null, here, keyAt);
    }
    return data;
  };
  const data = collect(document.contents, [], 0);
  if (problems.length > 0) return { ok: false, problems };

  const nearest = (map: ReadonlyMap<string, number>, path: Path): Place => {
    const own = map.get(pathKey(path));
    if (own !== undefined) return at(own);
    for (let length = path.length; length >= 0; length -= 1) {
      const key = pathKey(path.slice(0, length));
      const around = keys.get(key) ?? values.get(key);
      if (around !== undefined) return at(around);
    }
    return { line: 1, column: 1 };
  };
  return { ok: true, data, places: { value: (path) => nearest(values, path), key: (path) => nearest(keys.has(pathKey(path)) ? keys : values, path) } };
}

const pathKey = (path: Path): string => path.map((step) => (typeof step === 'number' ? `#${step}` : `.${step}`)).join('\n');

function refused(problem: Partial<Place> & { message: string; remedy: string }): YamlRead {
  return { ok: false, problems: [{ line: 1, column: 1, path: [], ...problem }] };
}

/** A file that is not text at all, or nests beyond reason, before the parser looks at it. */
function unreadable(text: string): (Partial<Place> & { message: string; remedy: string }) | undefined {
  if (text.trim() === '') return { message: 'the file is empty', remedy: 'write the lab sheet, or copy one from lab-sheets/ to begin with' };
  const control = /[\u0000-\u0008\u000B\u000C\u000E-\u001F\uFFFE\uFFFF]/.exec(text);
  if (control) {
    const before = text.slice(0, control.index).split('\n');
    return {
      line: before.length,
      column: (before.at(-1)?.length ?? 0) + 1,
      message: 'the file holds bytes that are not text',
      remedy: 'save it as plain text in UTF-8; a word processor or spreadsheet file is not a lab sheet',
    };
  }
  // Brackets and dashes on one line are the only way to nest deeply in a short text, and the parser is slow on them.
  for (const [index, line] of text.split('\n').entries()) {
    const dashes = /^\s*((?:[-?]\s+)+)/.exec(line)?.[1]?.replace(/\s/g, '').length ?? 0;
    const brackets = line.length - line.replace(/[[{]/g, '').length;
    if (dashes > DEEPEST || brackets > 200 || /^\s{200}/.test(line)) return { line: index + 1, message: 'this line is nested too deeply for a lab sheet', remedy: `at most ${DEEPEST} levels` };
  }
  return undefined;
}

/** The parser's own messages, for someone who does not write programs. */
function inPlainWords(code: string, message: string): { message: string; remedy: string } {
  const known: Readonly<Record<string, readonly [string, string]>> = {
    TAB_AS_INDENT: ['a tab stands at the beginning of the line', 'use spaces there, two for each level'],
    BAD_INDENT: ['this line is not in line with the ones it belongs to', 'give all keys of one group the same number of spaces in front'],
    BLOCK_AS_IMPLICIT_KEY: ['there are two colons in one line', 'put the text in quotes: key: "text: with a colon"'],
    BLOCK_IN_FLOW: ['this stands inside brackets that were not closed', 'close the bracket, or write the list line by line'],
    MISSING_CHAR: ['a quotation mark, bracket or colon is missing', 'every " needs its partner, every [ its ], and every key its ":"'],
    BAD_SCALAR_START: ['this text begins with a sign that is special here', 'put the text in quotes'],
    BAD_DQ_ESCAPE: ['"\\" in quotes begins an escape that is not known', "use single quotes, or write \\\\ for one backslash"],
    MULTIPLE_DOCS: ['a second document begins here', 'one file holds one lab sheet; take the "---" or "..." line out'],
    MULTILINE_IMPLICIT_KEY: ['a key runs over more than one line', 'put the text in quotes, or a ":" after the key'],
    KEY_OVER_1024_CHARS: ['a key is far too long', 'put a ":" after the key, and the text in quotes'],
    RESOURCE_EXHAUSTION: ['this is nested too deeply for a lab sheet', `at most ${DEEPEST} levels`],
    UNEXPECTED_TOKEN: ['there is something here that does not belong', 'put the text in quotes'],
  };
  const words = known[code];
  return words ? { message: words[0], remedy: words[1] } : { message: message.replace(/\.$/, '').toLowerCase(), remedy: 'compare it with a sheet in lab-sheets/' };
}
