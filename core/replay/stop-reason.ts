/** Why a test was stopped, from a recorded session: the sheet's own reasons first, then the words. */
import type { LabSheet } from '../sheet/schema.ts';

export interface StopReason {
  readonly reason: string;
  readonly symptom: boolean;
  /** It was judged by its words, and not found on the sheet's list; said to the person. */
  readonly judged: boolean;
}

/**
 * Words that name a symptom or a sign. Sore legs, tiredness and hard breathing are what a maximal test ends in and are not among
 * them. After the general stop list for low-risk adults (ACSM's Guidelines, from memory; McArdle, Katch & Katch 8th ed. table 32.13), in
 * own words; the choice of words is this program's.
 */
const symptomWords =
  /\b(symptoms?|chest|angina|dizz\w*|light[- ]?head\w*|faint\w*|syncope|collaps\w*|confus\w*|unstead\w*|pale|pallor|cyanos\w*|clammy|nause\w*|vomit\w*|sick|wheez\w*|palpitations?|irregular|arrhythmia|rhythm|claudication|cramps?|pain|(?:unusual|undue|severe)\s+(?:breathless\w*|shortness|dyspn\w*)|pressure\s+(?:fell|fall\w*|dropp?\w*)|(?:fall|drop)\s+in\s+(?:blood\s+)?pressure)\b/i;
const denied = /\b(?:no|without|free\s+of|not?\s+any)\s+(?:\w+\s+){0,2}?(?:symptoms?|pain|chest\s+\w+|dizz\w*|nause\w*|signs?)(?:\s*(?:,|or|nor|and)\s*\w+)*/gi;

/** @param text as written; a sheet's reason is recognised in any case. */
export function stopReason(sheet: LabSheet, text: string): StopReason {
  const reason = text.trim();
  const flat = (words: string): string => words.toLowerCase().replace(/[^a-z0-9]+/g, ' ').trim();
  const known = sheet.stop.reasons.find((one) => flat(one.text) === flat(reason));
  if (known) return { reason: known.text, symptom: known.symptom, judged: false };
  return { reason, symptom: symptomWords.test(reason.replace(denied, ' ')), judged: true };
}
