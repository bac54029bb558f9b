/** Late work: how late a hand-in was, and what the set's rule makes of its marks. */
import type { LateRule } from './events.ts';
import { lateRuleInWords } from './history.ts';

const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;

export interface Lateness {
  readonly milliseconds: number;
  /** Days begun. */
  readonly days: number;
  /** Inside the rule's grace: flagged, and nothing is taken off. */
  readonly inGrace: boolean;
}

/** @returns undefined for work that came in time, or where nothing is due. */
export function latenessOf(handedIn: string | undefined, due: string | undefined, rule: LateRule): Lateness | undefined {
  if (handedIn === undefined || due === undefined) return undefined;
  const milliseconds = Date.parse(handedIn) - Date.parse(due);
  if (!(milliseconds > 0)) return undefined;
  const grace = rule.kind === 'flag-only' ? 0 : rule.graceMinutes * MINUTE;
  return { milliseconds, days: Math.ceil(milliseconds / DAY), inGrace: milliseconds <= grace };
}

/** Marks after the rule, to a hundredth. */
export function afterLateRule(earned: number, outOf: number, late: Lateness | undefined, rule: LateRule): number {
  if (late === undefined || late.inGrace || rule.kind === 'flag-only') return earned;
  switch (rule.kind) {
    case 'per-day': {
      if (rule.closesAfterDays !== undefined && late.days > rule.closesAfterDays) return 0;
      const off = (rule.percent / 100) * late.days * (rule.of === 'earned' ? earned : outOf);
      return hundredth(Math.max(0, earned - off));
    }
    case 'at-most':
      return hundredth(Math.min(earned, (rule.percent / 100) * outOf));
    case 'nothing':
      return 0;
  }
}

const hundredth = (value: number): number => Math.round((value + Number.EPSILON) * 100) / 100;

/** "1 day and 3 h", "25 min". */
export function spanInWords(milliseconds: number): string {
  const minutes = Math.max(1, Math.round(milliseconds / MINUTE));
  const days = Math.floor(minutes / 1440);
  const hours = Math.floor((minutes % 1440) / 60);
  if (days > 0) return `${days} ${days === 1 ? 'day' : 'days'}${hours > 0 ? ` and ${hours} h` : ''}`;
  return hours > 0 ? `${hours} h${minutes % 60 > 0 ? ` ${minutes % 60} min` : ''}` : `${minutes} min`;
}

/** The finding's line. `earned` and `total` before and after the rule. */
export function lateInWords(late: Lateness, due: string, rule: LateRule, earned: number, total: number): string {
  const when = `Handed in ${spanInWords(late.milliseconds)} after it was due (${due.slice(0, 16).replace('T', ' ')}).`;
  if (rule.kind === 'flag-only') return `${when} The rule takes nothing off.`;
  if (late.inGrace) return `${when} That is within the ${rule.graceMinutes} minutes of grace; nothing is taken off.`;
  const off = hundredth(earned - total);
  return `${when} Rule: ${lateRuleInWords(rule)}; ${off === 0 ? 'nothing is taken off' : `${off} ${off === 1 ? 'mark is' : 'marks are'} taken off`}.`;
}
