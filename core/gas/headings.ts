/** A heading taken apart: the name of the quantity, its unit, and the state of the gas. */
import { normaliseSpelling, unitFromText, units, type Dimension, type UnitCode } from '../units/units.ts';
import { isPerKilogram, quantityOfWord } from './column-words.ts';
import { gasQuantities, isGasValue, type ColumnQuantity, type GasCondition } from './quantities.ts';

export interface HeadingParts {
  /** The name in its plain form: `vo2`, `heartrate`, `ve/vo2`. */
  readonly word: string;
  readonly quantity?: ColumnQuantity;
  /** Why a known heading is not imported. */
  readonly because?: string;
  /** The unit as written, from brackets or after the name; empty where the heading has none. */
  readonly unitText: string;
  readonly condition?: GasCondition;
  /** The name itself says "per kilogram". */
  readonly perKilogram: boolean;
}

const CONDITION = /\b(stpd|btps|atps|atpd)\b/i;

/** Signs of the trade to plain letters: V̇O₂, V'O2 and V.O2 all become vo2; accents fall away. */
function plain(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/[\u0300-\u036f\u02d9]/g, '')
    .replace(/\u2212/g, '-')
    .toLowerCase()
    .replace(/\bv\s?[.'’‘´`·•*_]\s?(?=(?:o2|co2|e|t|i)\b)/g, 'v');
}

/** A name without blanks and signs, for the table of words: letters of any script, figures, `/`, `%`, `:` and `#`. */
export function plainHeading(text: string): string {
  return plain(text).replace(/[^\p{L}\p{N}/%:#]/gu, '');
}

/** The unit that a text names for a quantity, or undefined. */
export function unitFor(quantity: ColumnQuantity, text: string): UnitCode | undefined {
  const bare = text
    .trim()
    .replace(/^[[({]\s*|\s*[\])}]$/g, '')
    .replace(CONDITION, '')
    .trim();
  if (bare === '' || !isGasValue(quantity)) return undefined;
  const { accepts } = gasQuantities[quantity];
  const dimensions = [
    ...new Set(
      accepts
        .map((code) => units.find((unit) => unit.code === code)?.dimension)
        .filter((dimension): dimension is Dimension => dimension !== undefined),
    ),
  ];
  for (const spelled of [bare, bare.replace(/\s+/g, '/'), bare.replace(/[\s_.]+/g, '/'), bare.replace(/\s*\bstpd\b|\s*\bbtps\b/gi, '')]) {
    const unit = unitFromText(spelled, dimensions);
    if (unit !== undefined && accepts.includes(unit)) return unit;
  }
  return undefined;
}

/** Takes a heading apart. `unitRowText` is what stands below it in the row of units, if the file has one. */
export function partsOf(heading: string, unitRowText = ''): HeadingParts {
  const inBrackets = [...heading.matchAll(/[[({]\s*([^\])}]*?)\s*[\])}]/g)].map((match) => match[1] ?? '');
  const outside = heading.replace(/[[({][^\])}]*[\])}]?/g, ' ').trim();
  const condition = (CONDITION.exec(heading) ?? CONDITION.exec(unitRowText))?.[1]?.toUpperCase() as GasCondition | undefined;
  const state = condition === undefined ? {} : { condition };
  const stated = unitRowText
    .replace(CONDITION, '')
    .trim()
    .replace(/^[[({]\s*|\s*[\])}]$/g, '');
  const bracketUnit = inBrackets.map((text) => text.replace(CONDITION, '').trim()).find((text) => text !== '') ?? '';

  const name = plain(outside === '' ? heading : outside).replace(CONDITION, ' ');
  const tokens = name.split(/[\s_.,;:|=-]+/).filter((token) => token !== '');
  for (let taken = tokens.length; taken >= 1; taken -= 1) {
    const word = plainHeading(tokens.slice(0, taken).join(''));
    const known = quantityOfWord(word);
    if (!known) continue;
    const rest = tokens.slice(taken).join(' ');
    // What follows the name has to be its unit, or the name is part of a longer one that is not known ("VE peak predicted").
    const isUnit = isGasValue(known.quantity) ? unitFor(known.quantity, rest) !== undefined : looksLikeUnit(rest);
    const trailing = rest === '' || isUnit ? rest : undefined;
    if (trailing === undefined) continue;
    return { word, ...known, unitText: stated || bracketUnit || trailing, perKilogram: isPerKilogram(word), ...state };
  }
  return { word: plainHeading(name), unitText: stated || bracketUnit, perKilogram: false, ...state };
}

/** Words of a row of units that are not units of a quantity: the forms of time, states of a gas. */
const UNIT_WORDS =
  /^(?:h{1,2}:mm(?::ss)?|m{1,2}[:.]ss(?:[:.,]\w+)?|min[:.]s(?:ec)?|hms|stpd|btps|atps|atpd|-+|bpm|1\/min|n|#|watts?|index|text|none|deg|°)$/i;
const UNIT_SPELLINGS: ReadonlySet<string> = new Set(
  units.flatMap((unit) => [unit.code, unit.label, unit.name, ...unit.spellings]).map(normaliseSpelling),
);

/** True when a cell reads as a unit: `mL/min`, `[L/min]`, `mm:ss`, `bpm`, `STPD`. */
export function looksLikeUnit(cell: string): boolean {
  const text = cell.trim();
  // Long cells are turned away before the pattern looks at them: a long run of blanks would take it the square of its length.
  if (text.length > 30) return false;
  const bare = text.replace(/^[[({]\s*|\s*[\])}]$/g, '').trim();
  if (bare === '' || bare.length > 24) return false;
  if (UNIT_WORDS.test(bare)) return true;
  const withoutState = bare.replace(CONDITION, '').trim();
  if (withoutState === '') return true;
  return UNIT_SPELLINGS.has(normaliseSpelling(withoutState));
}
