/** What is wrong with a sheet's shape, in plain words: a schema check's findings turned into key, fault and remedy. */
import type { z } from 'zod';
import { listed, nearest, oneOf } from './nearest.ts';
import { publishedShape, type ShapeNode } from './published.ts';
import type { Path, Places, TextProblem } from './yaml-text.ts';

type Issue = z.core.$ZodIssue;

let sheetShape: ShapeNode | undefined;
/** So many keys that are missing in one group are named together. */
const MANY = 3;
/** Unknown keys of one group that are looked at; a file with more is not a lab sheet. */
const MOST_KEYS = 20;

/**
 * One problem per finding, in the order of the file; a misspelt key is named once, not also as a missing one.
 * @param shape the file's shape as JSON Schema; the lab sheet's where it is left out.
 */
export function shapeProblems(issues: readonly Issue[], data: unknown, places: Places, shape: ShapeNode = (sheetShape ??= publishedShape())): TextProblem[] {
  const problems: TextProblem[] = [];
  const misspelt = new Set<string>();
  const plain = issues.flatMap((issue) => flatten(issue));
  for (const issue of plain) {
    if (issue.code !== 'unrecognized_keys') continue;
    const allowed = Object.keys(shapeAt(shape, issue.path as Path, data)?.properties ?? {});
    const group = valueAt(data, issue.path as Path);
    for (const key of issue.keys.slice(0, MOST_KEYS)) {
      const path = [...(issue.path as Path), key];
      const free = allowed.filter((name) => !Object.hasOwn(group ?? {}, name));
      const near = nearest(key, free);
      if (near !== undefined) misspelt.add([...issue.path, near].join('\n'));
      problems.push({ ...places.key(path), path, message: `"${key}" is not a key here`, remedy: near === undefined ? (free.length > 0 ? `keys that may stand here: ${listed(free, 'and')}` : 'take it out') : `did you mean "${near}"?` });
    }
  }
  const absent = new Map<string, Path[]>();
  for (const issue of plain) {
    if (issue.code === 'unrecognized_keys' || misspelt.has(issue.path.join('\n'))) continue;
    const path = issue.path as Path;
    if (missing(issue, data) && typeof path.at(-1) === 'string') {
      const around = path.slice(0, -1).join('\n');
      absent.set(around, [...(absent.get(around) ?? []), path]);
    }
  }
  for (const paths of absent.values()) {
    if (paths.length < MANY) continue;
    const around = (paths[0] ?? []).slice(0, -1);
    const names = paths.map((path) => String(path.at(-1)));
    problems.push({ ...places.key(around), path: around, message: `${listed(names.map((name) => `"${name}"`), 'and')} are missing`, remedy: 'lab-sheets/README.md says what each of them holds' });
  }
  for (const issue of plain) {
    if (issue.code === 'unrecognized_keys' || misspelt.has(issue.path.join('\n'))) continue;
    const path = issue.path as Path;
    if (missing(issue, data) && (absent.get(path.slice(0, -1).join('\n'))?.length ?? 0) >= MANY) continue;
    problems.push({ ...(missing(issue, data) ? places.key(path) : places.value(path)), path, ...said(shape, issue, path, data) });
  }
  return problems.sort((a, b) => a.line - b.line || a.column - b.column);
}

/** A union's findings are those of the alternative that the author most likely meant. */
function flatten(issue: Issue): Issue[] {
  if (issue.code !== 'invalid_union' || issue.errors.length === 0) return [issue];
  const alternatives = issue.errors.map((found) => found.map((inner): Issue => ({ ...inner, path: [...issue.path, ...inner.path] })));
  const deep = alternatives.filter((found) => found.every((inner) => inner.path.length > issue.path.length || inner.code === 'unrecognized_keys'));
  const best = deep.sort((a, b) => a.length - b.length)[0];
  return best ? best.flatMap((inner) => flatten(inner)) : [{ ...issue, errors: [] } as Issue];
}

const missing = (issue: Issue, data: unknown): boolean => issue.path.length > 0 && valueAt(data, issue.path as Path) === undefined;

function said(shape: ShapeNode, issue: Issue, path: Path, data: unknown): { message: string; remedy: string } {
  const name = path.at(-1);
  const label = typeof name === 'number' ? `item ${name + 1}` : name === undefined ? 'the file' : `"${name}"`;
  const value = valueAt(data, path);
  const wanted = shapeAt(shape, path, data);
  const should = inWords(wanted);
  if (value === undefined && path.length > 0) return { message: `${label} is missing`, remedy: `add ${typeof name === 'string' ? `"${name}:"` : 'it'} with ${should}` };
  if (value === null) return { message: `there is nothing after ${label}`, remedy: `write ${should} there` };
  switch (issue.code) {
    case 'invalid_value':
      return { message: `${shown(value)} is not ${issue.values.length > 1 ? 'one of the words for' : 'what belongs in'} ${label}`, remedy: typeof value === 'string' ? oneOf(value, issue.values.map(String)) : `use ${listed(issue.values.map(String))}` };
    case 'invalid_union':
      if (issue.discriminator !== undefined) {
        const options = ((issue as { options?: readonly unknown[] }).options ?? []).map(String);
        return { message: `${shown(value)} is not a kind that may stand here`, remedy: typeof value === 'string' ? oneOf(value, options) : `use ${listed(options)}` };
      }
      return { message: `${shown(value)} cannot stand in ${label}`, remedy: `write ${should}` };
    case 'too_small':
      if (issue.origin === 'array') return { message: `${label} has too few entries`, remedy: `write at least ${String(issue.minimum)}` };
      if (issue.origin === 'string') return { message: `there is nothing after ${label}`, remedy: `write ${should} there` };
      return { message: `${shown(value)} is too small for ${label}`, remedy: `${issue.inclusive === false ? 'more than' : 'at least'} ${String(issue.minimum)}` };
    case 'too_big':
      if (issue.origin === 'string') return { message: `${label} is too long`, remedy: `at most ${String(issue.maximum)} characters` };
      return { message: `${shown(value)} is too large for ${label}`, remedy: `at most ${String(issue.maximum)}` };
    case 'invalid_type':
      if (typeof value === 'number' && issue.expected === 'int') return { message: `${shown(value)} is not a whole number`, remedy: 'write it without decimals' };
      if (typeof value === 'number' && issue.expected === 'string') return { message: `${shown(value)} is a number where ${label} wants text`, remedy: `put it in quotes: ${typeof name === 'string' ? `${name}: ` : ''}"${value}"` };
      return { message: `${label} is ${shown(value)}`, remedy: `write ${should}` };
    default:
      return { message: `${shown(value)} cannot stand in ${label}`, remedy: issue.message };
  }
}

/** What belongs at a place, for a sentence. */
function inWords(node: ShapeNode | undefined): string {
  if (!node) return 'what the guide in lab-sheets/README.md says';
  if (node.const !== undefined) return `"${String(node.const)}"`;
  if (node.enum) return listed(node.enum.map((word) => `"${String(word)}"`));
  const alternatives = node.anyOf ?? node.oneOf;
  if (node.description !== undefined && !node.properties) return `${lower(node.description)}`;
  if (alternatives) return alternatives.map(inWords).join(', or ');
  if (node.properties) return `the keys ${listed(node.required ?? Object.keys(node.properties), 'and')}`;
  if (node.type === 'array') return 'a list (lines that begin with "- ")';
  if (node.type === 'integer') return 'a whole number';
  if (node.type === 'number') return 'a number';
  if (node.type === 'boolean') return 'true or false';
  return 'text';
}

const lower = (text: string): string => (/^[A-Z][a-z ]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text);

/** A value as the author wrote it, cut where it is long. */
export function shown(value: unknown): string {
  if (typeof value === 'string') return `'${value.length > 60 ? `${value.slice(0, 57)}…` : value}'`;
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object' && value !== null) return 'a group of keys';
  return String(value);
}

/** What stands at a path in plain data; undefined where the path leads nowhere. */
export function valueAt(data: unknown, path: Path): unknown {
  let here: unknown = data;
  for (const step of path) {
    if (typeof here !== 'object' || here === null || !Object.hasOwn(here, step)) return undefined;
    here = (here as Record<string | number, unknown>)[step];
  }
  return here;
}

/** The shape that a place of the file should have, following the data where there are alternatives. */
function shapeAt(shape: ShapeNode, path: Path, data: unknown): ShapeNode | undefined {
  let node: ShapeNode | undefined = shape;
  let here: unknown = data;
  for (const [index, step] of path.entries()) {
    node = choose(node, here, path[index]);
    if (!node) return undefined;
    const next: ShapeNode | boolean | undefined = typeof step === 'number' ? node.items : (node.properties?.[step] ?? node.additionalProperties);
    node = typeof next === 'object' ? next : undefined;
    here = typeof here === 'object' && here !== null ? (here as Record<string | number, unknown>)[step] : undefined;
  }
  return choose(node, here, undefined) ?? node;
}

function choose(node: ShapeNode | undefined, data: unknown, step: string | number | undefined): ShapeNode | undefined {
  const alternatives = node?.oneOf ?? node?.anyOf;
  if (!alternatives) return node;
  const kind = typeof data === 'object' && data !== null ? (data as { kind?: unknown }).kind : undefined;
  const byKind = alternatives.find((option) => option.properties?.['kind']?.const !== undefined && option.properties['kind'].const === kind);
  if (byKind) return byKind;
  if (step === undefined) return undefined;
  return alternatives.find((option) => (typeof step === 'number' ? option.items !== undefined : option.properties?.[step] !== undefined)) ?? alternatives[0];
}
