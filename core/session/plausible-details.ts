/**
 * Reads what was typed at the head of the sheet ("135 lb", "5 ft 9 in", "22") and judges it. Outside the soft limits the
 * program asks; outside the hard limits it refuses.
 * Source of the limits: data-entry limits of common practice [C].
 */
import { convert, formatQuantity, parseQuantity, unitOf, type UnitCode } from '../units/units.ts';
import { detailQuantities, numericDetails, type DetailId } from '../vocabulary.ts';
import type { Plausibility } from './plausible.ts';
import { sexOf } from './values.ts';

interface DetailLimits {
  readonly soft: readonly [number, number];
  readonly hard: readonly [number, number];
}
export type NumericDetail = 'age' | 'height' | 'mass' | 'temperature' | 'pressure' | 'humidity';

/** In the details' own units: years, cm, kg, °C, mmHg, %. Common practice [C]. */
export const detailLimits: Readonly<Record<NumericDetail, DetailLimits>> = {
  age: { soft: [18, 45], hard: [10, 100] },
  height: { soft: [140, 210], hard: [120, 230] },
  mass: { soft: [40, 150], hard: [25, 250] },
  temperature: { soft: [18, 26], hard: [5, 40] },
  pressure: { soft: [640, 790], hard: [450, 830] },
  // "Below 70" is common practice; the lower soft limit is this program's own.
  humidity: { soft: [5, 70], hard: [5, 100] },
};

export type DetailReading =
  | {
      readonly ok: true;
      /** As typed, outer blanks removed. */
      readonly typed: string;
      /** Unit of the typed value, for numbers. */
      readonly unit?: UnitCode;
      /** In the detail's own unit, for numbers. */
      readonly value?: number;
      /** The value in the detail's own unit, in words; only where that is not simply what was typed. */
      readonly understood?: string;
      readonly judged: Extract<Plausibility, { level: 'usual' | 'ask' }>;
    }
  | { readonly ok: false; readonly message: string };

/** Whether a detail is a number with a unit and limits. */
export function isNumericDetail(detail: DetailId): detail is NumericDetail {
  return numericDetails.includes(detail);
}

/**
 * Reads and judges one detail. An empty text is a detail taken back, and always allowed.
 * @param typed what stands in the field.
 * @param preferred the unit of a bare number at this station; the detail's own where it is left out.
 */
export function readDetail(detail: DetailId, typed: string, preferred?: UnitCode): DetailReading {
  const text = typed.trim();
  if (text === '') return { ok: true, typed: '', judged: { level: 'usual' } };
  if (text.length > 200) return { ok: false, message: 'That is too long for this line. Nothing was kept; 200 characters fit.' };
  if (detail === 'sex') {
    return sexOf(text) === undefined
      ? { ok: false, message: 'The equations know female and male. Leave it out if neither applies.' }
      : { ok: true, typed: text, judged: { level: 'usual' } };
  }
  if (!isNumericDetail(detail)) return { ok: true, typed: text, judged: judgeWords(detail, text) };
  return readNumber(detail, text, preferred);
}

/** A participant is known by a code. Two words of letters look like a name, which has no place in a record. */
function judgeWords(detail: DetailId, text: string): Extract<Plausibility, { level: 'usual' | 'ask' }> {
  if (detail === 'participant-code' && /^\p{L}{2,}[\s,]+\p{L}{2,}/u.test(text)) {
    return { level: 'ask', message: 'This looks like a name. A participant is known by a code, like R-07. Enter again to keep it.' };
  }
  return { level: 'usual' };
}

function readNumber(detail: NumericDetail, text: string, preferred?: UnitCode): DetailReading {
  const { label, unit: own, accepts, decimals } = detailQuantities[detail];
  const parsed = parseQuantity(text, { defaultUnit: preferred ?? own, accepts });
  if (!parsed.ok) return { ok: false, message: parsed.error.message };
  const value = convert(parsed.value, parsed.unit, own);
  const { soft, hard } = detailLimits[detail];
  const show = (amount: number): string => formatQuantity(amount, own, decimals);
  const range = ([low, high]: readonly [number, number]): string => `${low} to ${formatQuantity(high, own, 0)}`;
  const bare = !/[a-z°"'%]/i.test(text);
  if (value < hard[0] || value > hard[1]) {
    return { ok: false, message: `${label} ${show(value)} is not possible here: ${range(hard)}.${otherUnit(detail, parsed.value, parsed.unit, bare)}` };
  }
  const understood = parsed.unit === own ? undefined : show(value);
  const kept = { ok: true as const, typed: text, unit: parsed.unit, value, ...(understood === undefined ? {} : { understood }) };
  if (detail === 'age' && (value < soft[0] || value > soft[1])) {
    return { ...kept, judged: { level: 'ask', message: `${show(value)}: under ${soft[0]} or over ${soft[1]} years the instructor looks at the screening again. Enter again to keep it.` } };
  }
  if (value < soft[0] || value > soft[1]) {
    return { ...kept, judged: { level: 'ask', message: `${label} ${show(value)} is unusual (${range(soft)}).${otherUnit(detail, parsed.value, parsed.unit, bare)} Enter again to keep it.` } };
  }
  if (detail === 'mass' && bare && parsed.unit === own && value >= 100) {
    return { ...kept, judged: { level: 'ask', message: `Is it ${text} kg? If it was read in pounds, type ${text} lb. Enter again to keep it.` } };
  }
  return { ...kept, judged: { level: 'usual' } };
}

/** The unit that a bare number was probably read in, as a question. Common practice [C]. */
function otherUnit(detail: NumericDetail, value: number, read: UnitCode, bare: boolean): string {
  if (!bare) return '';
  for (const unit of detailQuantities[detail].accepts) {
    const { unit: own } = detailQuantities[detail];
    if (unit === read) continue;
    const there = convert(value, unit, own);
    const { soft } = detailLimits[detail];
    if (there >= soft[0] && there <= soft[1]) return ` Is it ${value} ${unitOf(unit).label}?`;
  }
  return '';
}
