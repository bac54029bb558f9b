/** Units as people type them. */
import { fail, LONGEST, plain, type ParseError } from './parse-number.ts';
import { dimensionOf, unitOf, units, type Dimension, type UnitCode } from './table.ts';

/** The unit that a text names, among the given dimensions; undefined when none or more than one does. */
export function unitFromText(text: string, dimension: Dimension | readonly Dimension[]): UnitCode | undefined {
  if (text.length > LONGEST) return undefined;
  const read = readUnit(plain(text), typeof dimension === 'string' ? [dimension] : dimension);
  return read.ok ? read.unit : undefined;
}

/**
 * One form for the many ways to write a unit: small letters, no blanks, points for products, slashes for negative powers:
 * `mL·kg⁻¹·min⁻¹` and `ml.kg^-1.min^-1` both become `ml/kg/min`.
 */
export function normaliseSpelling(text: string): string {
  const flat = plain(text)
    .toLowerCase()
    .replace(/[·⋅∙•×]/g, '.')
    .replace(/ per /g, '/')
    .replace(/\bkgf\b/g, 'kg')
    .replace(/\s+(?=[a-z]+\^?-1)/g, '.')
    .replace(/\s+/g, '');
  const powers = flat.replace(/\.?([a-z[\]_{}]+)\^?-1(?![\d])/g, '/$1').replace(/^\/(?=[a-z]+\/.*[^/]$)/, '/');
  return powers
    .replace(/\bhr\b/g, 'h')
    .replace(/\bsec\b/g, 's')
    .replace(/\bminute\b/g, 'min')
    .replace(/\bliters?\b|\blitres?\b/g, 'l');
}

const bySpelling: ReadonlyMap<string, readonly UnitCode[]> = (() => {
  const map = new Map<string, UnitCode[]>();
  for (const unit of units) {
    for (const spelling of new Set([unit.code, unit.label, unit.name, ...unit.spellings].map(normaliseSpelling))) {
      if (spelling === '') continue;
      const list = map.get(spelling);
      if (list) list.push(unit.code);
      else map.set(spelling, [unit.code]);
    }
  }
  return map;
})();

export type UnitRead = { readonly ok: true; readonly unit: UnitCode } | { readonly ok: false; readonly error: ParseError };

export function readUnit(text: string, dimensions: readonly Dimension[]): UnitRead {
  const exact = units.find((unit) => unit.code === text && dimensions.includes(unit.dimension));
  if (exact) return { ok: true, unit: exact.code };
  const candidates = bySpelling.get(normaliseSpelling(text)) ?? [];
  const fitting = candidates.filter((code) => dimensions.includes(dimensionOf(code)));
  const [only] = fitting;
  if (only !== undefined && fitting.length === 1) return { ok: true, unit: only };
  const wanted = acceptedLabels(dimensions);
  if (fitting.length > 1) {
    return fail('ambiguous', `"${text}" could be ${fitting.map((code) => unitOf(code).label).join(' or ')}. Write the unit out.`);
  }
  if (candidates.length > 0) return fail('wrong-dimension', `"${text}" is not a unit for this value. Use ${wanted}.`);
  return fail('unknown-unit', `The unit "${text}" is not known here. Use ${wanted}.`);
}

function acceptedLabels(dimensions: readonly Dimension[]): string {
  return labelsInWords(units.filter((unit) => dimensions.includes(unit.dimension)).map((unit) => unit.code));
}

export function labelsInWords(codes: readonly UnitCode[]): string {
  const labels = codes.map((code) => unitOf(code).label || 'no unit');
  return labels.length > 1 ? `${labels.slice(0, -1).join(', ')} or ${labels.at(-1)}` : (labels[0] ?? 'no unit');
}
