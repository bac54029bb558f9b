/** Numbers as people type them: the marks of decimals and thousands judged, or refused in words. */

export interface ParseError {
  readonly code: 'empty' | 'too-long' | 'not-a-number' | 'ambiguous' | 'unknown-unit' | 'wrong-dimension' | 'out-of-range';
  /** short, for the person who typed it: what is wrong and what would be right */
  readonly message: string;
}

/** Longest text looked at. A pasted file is refused before anything reads it. */
export const LONGEST = 120;

export const fail = (code: ParseError['code'], message: string): { ok: false; error: ParseError } => ({
  ok: false,
  error: { code, message },
});

/** Unicode variants to plain signs; blanks to single spaces. */
export function plain(text: string): string {
  return text
    .normalize('NFKC')
    .replace(/[\u2212\u2010\u2011\u2012\u2013\ufe63\uff0d]/g, '-')
    .replace(/[\u2032\u2019\u00b4]/g, "'")
    .replace(/[\u2033\u201d]/g, '"')
    .replace(/\s+/g, ' ')
    .trim();
}

export function prepare(text: string): string | { ok: false; error: ParseError } {
  if (text.length > LONGEST) {
    return fail('too-long', 'That is far too long for one value. Nothing was kept; type one number with its unit.');
  }
  const prepared = plain(text);
  if (prepared === '') return fail('empty', 'No value was typed.');
  return prepared;
}

export type NumberRead = { readonly ok: true; readonly value: number } | { readonly ok: false; readonly error: ParseError };

/** A number alone, with its marks judged. */
export function readNumber(text: string, decimalMark: '.' | ',' | undefined): NumberRead {
  const notNumber = fail('not-a-number', `"${text}" is not a number.`);
  const match = /^([+-]?)([\d., ]+)(?:e([+-]?\d{1,3}))?$/i.exec(text);
  if (!match) return notNumber;
  const body = (match[2] ?? '').trim();
  if (!/\d/.test(body)) return notNumber;

  let digits: string;
  const points = body.split('.').length - 1;
  const commas = body.split(',').length - 1;
  if (body.includes(' ')) {
    // blanks may group thousands: "24 300" or "24 300,5"
    if (!/^\d{1,3}( \d{3})+([.,]\d+)?$/.test(body)) return notNumber;
    digits = body.replace(/ /g, '').replace(',', '.');
  } else if (points > 0 && commas > 0) {
    const decimalIsPoint = body.lastIndexOf('.') > body.lastIndexOf(',');
    const wellFormed = decimalIsPoint ? /^\d{1,3}(,\d{3})+\.\d+$/ : /^\d{1,3}(\.\d{3})+,\d+$/;
    if (!wellFormed.test(body)) return notNumber;
    if (decimalMark !== undefined && (decimalMark === '.') !== decimalIsPoint) {
      return fail('ambiguous', `"${text}" mixes point and comma against this station's decimal mark. Type it without thousands marks.`);
    }
    digits = decimalIsPoint ? body.replace(/,/g, '') : body.replace(/\./g, '').replace(',', '.');
  } else if (commas > 1 || points > 1) {
    const mark = commas > 1 ? ',' : '.';
    const wellFormed = mark === ',' ? /^\d{1,3}(,\d{3})+$/ : /^\d{1,3}(\.\d{3})+$/;
    if (!wellFormed.test(body) || decimalMark === mark) return notNumber;
    digits = body.split(mark).join('');
  } else if (commas === 1 || points === 1) {
    const mark = commas === 1 ? ',' : '.';
    const couldGroup = mark === ',' ? /^[1-9]\d{0,2},\d{3}$/.test(body) : /^[1-9]\d{0,2}\.\d{3}$/.test(body);
    if (couldGroup && mark === ',' && decimalMark === '.') {
      digits = body.replace(',', '');
    } else if (couldGroup && ((mark === ',' && decimalMark === undefined) || (mark === '.' && decimalMark === ','))) {
      const small = decimalMark === ',' ? body.replace('.', ',') : body.replace(',', '.');
      return fail('ambiguous', `"${text}" can be read in two ways. Type ${small} or ${body.replace(/[.,]/, '')}.`);
    } else {
      digits = body.replace(',', '.');
    }
    if (!/^(\d+\.?\d*|\.\d+)$/.test(digits)) return notNumber;
  } else {
    digits = body;
  }
  const value = Number(`${match[1] === '-' ? '-' : ''}${digits}${match[3] === undefined ? '' : `e${match[3]}`}`);
  if (!Number.isFinite(value)) return fail('out-of-range', `"${text}" is too large a number.`);
  // no negative zero
  return { ok: true, value: value === 0 ? 0 : value };
}
