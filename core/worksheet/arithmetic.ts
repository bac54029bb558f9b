/**
 * Reads the sums in a student's working. Deliberately small: numbers, + − × ÷, powers, brackets and a per-cent sign, with
 * units after numbers passed over. Whatever is not plainly a sum is no sum; the marker sees the working either way.
 */
import { normaliseSpelling, units } from '../units/units.ts';

export interface Sum {
  readonly text: string;
  readonly value: number;
  /** The numbers that were put in. */
  readonly numbers: readonly number[];
  readonly operators: number;
}

/** Longest stretch of working that is searched, and the most sums that are looked at in it. */
const LONGEST = 4000;
const MOST = 60;

/** Unit spellings that may follow a number, longest first. A single letter counts only where it is one of these. */
const unitWords: readonly string[] = [...new Set(units.flatMap((unit) => [unit.code, unit.label, ...unit.spellings]).map((text) => text.toLowerCase()))]
  .filter((text) => text !== '' && text !== '1' && text !== '%' && text !== '/' && !/^\d/.test(text) && !/^["'#]/.test(text))
  .sort((a, b) => b.length - a.length);

/** Every sum found in the working: each line, and each side of each equals sign. */
export function sumsIn(working: string): readonly Sum[] {
  const sums: Sum[] = [];
  for (const stretch of working.slice(0, LONGEST).split(/[\n;=≈→]|=>|->|\bso\b|\bthen\b/)) {
    if (sums.length >= MOST) break;
    const sum = readSum(stretch);
    if (sum) sums.push(sum);
  }
  return sums;
}

/** One sum with at least one operator and two numbers, or undefined. */
export function readSum(text: string): Sum | undefined {
  const tokens = tokenise(text);
  if (!tokens) return undefined;
  const reader = new Reader(tokens);
  const value = reader.sum();
  if (value === undefined || !reader.atEnd || !Number.isFinite(value)) return undefined;
  const numbers = tokens.flatMap((token) => (typeof token === 'number' ? [token] : []));
  const operators = tokens.filter((token) => typeof token === 'string' && '+-*/^'.includes(token)).length;
  if (numbers.length < 2 || operators < 1) return undefined;
  return { text: text.trim(), value, numbers, operators };
}

type Token = number | '+' | '-' | '*' | '/' | '^' | '(' | ')' | '%';

function tokenise(text: string): readonly Token[] | undefined {
  const flat = text
    .normalize('NFKC')
    .replace(/[\u2212\u2010-\u2014]/g, '-')
    .replace(/[×·⋅∙•✕✖]/g, '*')
    .replace(/(\d)\s*x\s*(?=[\d(.])/gi, '$1*')
    .replace(/\)\s*x\s*(?=[\d(.])/gi, ')*')
    .replace(/÷/g, '/')
    .replace(/\*\*/g, '^')
    .replace(/[[{]/g, '(')
    .replace(/[\]}]/g, ')')
    .trim();
  const tokens: Token[] = [];
  let rest = flat;
  while (rest !== '') {
    const space = /^\s+/.exec(rest);
    if (space) {
      rest = rest.slice(space[0].length);
      continue;
    }
    // 1,234.5 and 1 234 are left alone: a comma is a decimal mark only where no point is, and not before three figures.
    const number = /^(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?|\.\d+)/.exec(rest);
    const comma = /^\d+,\d{1,2}(?!\d)|^0,\d+/.exec(rest);
    if (comma) {
      tokens.push(Number(comma[0].replace(',', '.')));
      rest = passUnit(rest.slice(comma[0].length));
      continue;
    }
    if (number) {
      tokens.push(Number(number[0].replaceAll(',', '')));
      rest = passUnit(rest.slice(number[0].length));
      continue;
    }
    const sign = rest[0] as string;
    if (!'+-*/^()%'.includes(sign)) return undefined;
    tokens.push(sign as Token);
    rest = sign === ')' ? passUnit(rest.slice(1)) : rest.slice(1);
  }
  return tokens.length === 0 ? undefined : tokens;
}

/** Passes over a unit that follows a number or a bracket: " m/min", " mL/kg/min", "kg". */
function passUnit(rest: string): string {
  const text = rest.replace(/^\s+/, '');
  const lower = text.toLowerCase();
  if (!/^[a-z/°]/.test(lower)) return rest;
  for (const word of unitWords) {
    if (!lower.startsWith(word)) continue;
    // "/min" is a unit, "/ 3" is a division; a word goes on to its end or it is another word.
    if (/^[a-z/.*\u00b7]/i.test(text.slice(word.length)) && !/^[*/]\s*[\d(]/.test(text.slice(word.length))) continue;
    return text.slice(word.length);
  }
  const flat = /^[a-z/.·⁻¹0-9^-]+/i.exec(text)?.[0];
  if (flat !== undefined && unitWords.includes(normaliseSpelling(flat))) return text.slice(flat.length);
  return rest;
}

/** Recursive descent; undefined as soon as the text is not a sum. Depth is bounded by the text's length limit. */
class Reader {
  readonly #tokens: readonly Token[];
  #at = 0;
  #depth = 0;

  constructor(tokens: readonly Token[]) {
    this.#tokens = tokens;
  }

  get atEnd(): boolean {
    return this.#at === this.#tokens.length;
  }

  #take(...wanted: readonly Token[]): Token | undefined {
    const token = this.#tokens[this.#at];
    if (token === undefined || !wanted.includes(token)) return undefined;
    this.#at += 1;
    return token;
  }

  sum(): number | undefined {
    if ((this.#depth += 1) > 50) return undefined;
    let value = this.#product();
    for (let sign = this.#take('+', '-'); sign !== undefined; sign = this.#take('+', '-')) {
      const next = this.#product();
      if (value === undefined || next === undefined) return undefined;
      value = sign === '+' ? value + next : value - next;
    }
    this.#depth -= 1;
    return value;
  }

  #product(): number | undefined {
    let value = this.#power();
    for (;;) {
      const sign = this.#take('*', '/');
      // "0.7(22)" is a product too.
      if (sign === undefined && this.#tokens[this.#at] !== '(') return value;
      const next = this.#power();
      if (value === undefined || next === undefined) return undefined;
      value = sign === '/' ? value / next : value * next;
    }
  }

  #power(): number | undefined {
    const base = this.#single();
    if (base === undefined || this.#take('^') === undefined) return base;
    const exponent = this.#single();
    return exponent === undefined ? undefined : base ** exponent;
  }

  #single(): number | undefined {
    if (this.#take('-') !== undefined) {
      const value = this.#single();
      return value === undefined ? undefined : -value;
    }
    const token = this.#tokens[this.#at];
    let value: number | undefined;
    if (typeof token === 'number') {
      this.#at += 1;
      value = token;
    } else if (this.#take('(') !== undefined) {
      value = this.sum();
      if (this.#take(')') === undefined) return undefined;
    }
    if (value !== undefined && this.#take('%') !== undefined) value /= 100;
    return value;
  }
}
