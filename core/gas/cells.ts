/** What a single cell of the file is, and how a number in it is read. */

export type CellKind = 'blank' | 'number' | 'time' | 'text';
export type DecimalMark = '.' | ',';

/** How numbers are written in one file. */
export interface NumberStyle {
  readonly decimalMark: DecimalMark;
  /** The other mark stands between thousands: 1,234.5. */
  readonly grouped: boolean;
}

const NUMBER = /^[-+\u2212]?(?:\d+(?:[.,]\d+)*[.,]?|[.,]\d+)(?:e[-+]?\d{1,3})?\s?%?$/i;
/** A blank or an apostrophe before exactly three figures parts thousands: 1 234,5 and 1’234.5. */
const PARTED = /(\d)[\u00a0\u202f\u2009 '\u2019](?=\d{3}(?!\d))/g;
const DATE = /^\d{1,4}([-./])\d{1,2}\1\d{1,4}\.?$/;
const TIME = /^[-+\u2212]?\d{1,4}:\d{2}(?::\d{2,3})?(?:[.,]\d{1,6})?\s*(?:[ap]\.?m\.?)?$/i;
const DATE_AND_TIME = /^\d{1,4}[-./]\d{1,2}[-./]\d{1,4}[T\s]+\d{1,2}:\d{2}(?::\d{2})?(?:[.,]\d+)?\s*(?:[ap]\.?m\.?|z|[+-]\d{2}:?\d{2})?$/i;

/** How people and programs write "nothing here". */
const MISSING =
  /^(?:[-\u2013\u2014\u2212.*#?_]+|n\/?a\.?|#?n\/a!?|nan|null|none|nil|missing|#(?:value|div\/0|ref|num|name\?)!?|[<>]?\s*-{2,})$/i;

/** True for an empty cell and for the usual marks of a missing value (a dash, n/a, NaN, #N/A …). */
export function isMissing(cell: string): boolean {
  const text = cell.trim();
  return text === '' || (text.length < 12 && MISSING.test(text));
}

/** Figures and at most one decimal mark: what nearly every cell of a file is. */
function plainNumber(cell: string): boolean {
  let figures = 0;
  let marks = 0;
  for (let at = 0; at < cell.length; at += 1) {
    const code = cell.charCodeAt(at);
    if (code >= 48 && code <= 57) figures += 1;
    else if ((code === 44 || code === 46) && marks === 0) marks = 1;
    else return false;
  }
  return figures > 0;
}

export function cellKind(cell: string): CellKind {
  if (plainNumber(cell)) return 'number';
  const text = cell.trim();
  if (text === '') return 'blank';
  // A colon stands in times only; a semicolon or a stroke in none of what follows: they are left where a wrong delimiter is tried.
  if (text.includes(':')) return TIME.test(text) || DATE_AND_TIME.test(text) ? 'time' : 'text';
  if (text.includes(';') || text.includes('|')) return 'text';
  if (isMissing(text)) return 'blank';
  if (DATE.test(text)) return 'text';
  return NUMBER.test(text) || NUMBER.test(text.replace(PARTED, '$1')) ? 'number' : 'text';
}

/** A cheap test for the long run of rows: the first sign is a figure, or a mark before a figure. */
export function beginsAsNumber(cell: string): boolean {
  let at = 0;
  while (at < cell.length && cell.charCodeAt(at) <= 32) at += 1;
  const code = cell.charCodeAt(at);
  if (code >= 48 && code <= 57) return true;
  if (code !== 43 && code !== 45 && code !== 46 && code !== 44 && code !== 0x2212) return false;
  const next = cell.charCodeAt(at + 1);
  return (next >= 48 && next <= 57) || next === 46 || next === 44;
}

/**
 * The number in a cell; undefined when there is none (text, a time, a missing mark).
 * Never NaN and never infinite. A trailing per cent sign is dropped: the column's unit says what the number means.
 */
export function numberIn(cell: string, style: NumberStyle): number | undefined {
  const mark = style.decimalMark === ',' ? 44 : 46;
  let whole = 0;
  let digits = 0;
  let decimals = -1;
  // The usual case, in every cell of a long file: figures and at most one decimal mark. Up to 15 figures are a whole number that
  // is exact, and so is the power of ten, so that one division rounds once: the same number as Number() gives.
  for (let at = 0; at < cell.length; at += 1) {
    const code = cell.charCodeAt(at);
    if (code >= 48 && code <= 57) {
      whole = whole * 10 + (code - 48);
      digits += 1;
      if (decimals >= 0) decimals += 1;
    } else if (code === mark && decimals < 0 && digits > 0) {
      decimals = 0;
    } else {
      return carefully(cell, style);
    }
  }
  if (digits === 0 || digits > 15) return carefully(cell, style);
  return decimals > 0 ? whole / (POWERS[decimals] ?? 1) : whole;
}

const POWERS = Array.from({ length: 16 }, (_, power) => 10 ** power);

function carefully(cell: string, style: NumberStyle): number | undefined {
  if (!beginsAsNumber(cell)) return undefined;
  let text = cell.trim().replace('\u2212', '-').replace(/\s?%$/, '').replace(PARTED, '$1');
  const other = style.decimalMark === ',' ? '.' : ',';
  if (style.grouped && text.includes(other)) {
    // Thousands are parted after every three figures; anything else is not understood rather than guessed.
    if (!(other === ',' ? /^[-+]?\d{1,3}(,\d{3})+(\.\d*)?$/ : /^[-+]?\d{1,3}(\.\d{3})+(,\d*)?$/).test(text)) return undefined;
    text = text.replaceAll(other, '');
  }
  if (other === ',' && text.includes(',')) return undefined;
  if (text.includes('.') && text.includes(',')) return undefined;
  const value = Number(text.replace(',', '.'));
  return Number.isFinite(value) && !/^[-+]?0[xbo]/i.test(text) ? value + 0 : undefined;
}

export interface MarkFinding {
  readonly style: NumberStyle;
  readonly reason: string;
  readonly sure: boolean;
}

const GROUPS = /^[-+\u2212]?[1-9]\d{0,2}(?:[.,]\d{3})+$/;

/**
 * The decimal mark of a table, from its numbers. Where every mark stands before exactly three figures it could also part
 * thousands; the mark is then taken as the decimal mark and the finding is not sure.
 * @param cells number cells (no times), trimmed.
 * @param delimiter of the file: an unquoted comma cannot be a decimal mark where it parts the columns.
 */
export function decimalMarkOf(cells: Iterable<string>, delimiter: string): MarkFinding {
  let points = 0;
  let commas = 0;
  let pointsGrouped = 0;
  let commasGrouped = 0;
  let pointLast = 0;
  let commaLast = 0;
  for (const cell of cells) {
    const point = cell.lastIndexOf('.');
    const comma = cell.lastIndexOf(',');
    if (point >= 0 && comma >= 0) {
      if (point > comma) pointLast += 1;
      else commaLast += 1;
    } else if (point >= 0) {
      points += 1;
      if (GROUPS.test(cell)) pointsGrouped += 1;
    } else if (comma >= 0) {
      commas += 1;
      if (GROUPS.test(cell)) commasGrouped += 1;
    }
  }
  const found = (decimalMark: DecimalMark, grouped: boolean, reason: string, sure = true): MarkFinding => ({
    style: { decimalMark, grouped },
    reason,
    sure,
  });
  if (pointLast + commaLast > 0) {
    return pointLast >= commaLast
      ? found('.', true, 'some numbers have a comma and then a point, so the point is the decimal mark', commaLast === 0)
      : found(',', true, 'some numbers have a point and then a comma, so the comma is the decimal mark', pointLast === 0);
  }
  if (points > 0 && commas > 0) {
    if (commas === commasGrouped && points > pointsGrouped)
      return found('.', true, 'commas stand only before three figures, points also elsewhere');
    if (points === pointsGrouped && commas > commasGrouped)
      return found(',', true, 'points stand only before three figures, commas also elsewhere');
    return points >= commas
      ? found('.', false, `${points} numbers have a point and ${commas} a comma; the commoner mark was taken`, false)
      : found(',', false, `${commas} numbers have a comma and ${points} a point; the commoner mark was taken`, false);
  }
  if (commas > 0) {
    const unclear = commas === commasGrouped;
    return found(
      ',',
      false,
      unclear
        ? 'only commas occur, each before exactly three figures: if they part thousands, change this'
        : 'numbers have a comma and never a point',
      !unclear,
    );
  }
  if (points > 0) {
    const unclear = points === pointsGrouped && delimiter === ';';
    return found(
      '.',
      false,
      unclear
        ? 'only points occur, each before exactly three figures: if they part thousands, change this'
        : 'numbers have a point and never a comma',
      !unclear,
    );
  }
  return found(delimiter === ';' ? ',' : '.', false, 'there are whole numbers only, so the mark makes no difference');
}
