/** Reading a choice as people type it. */
import type { InputSpec } from './formula.ts';

const otherWords: Readonly<Record<string, string>> = { man: 'male', men: 'male', woman: 'female', women: 'female', w: 'female' };

/** The choice that a text names: its value or its label, or a beginning that only one of them has ("m", "fem"); capitals do not matter. */
export function choiceNamed(spec: InputSpec, text: string): number | string | undefined {
  const typed = text.trim().toLowerCase();
  const wanted = otherWords[typed] ?? typed;
  const choices = spec.choices ?? [];
  const named = choices.find((c) => String(c.value).toLowerCase() === wanted || c.label.toLowerCase() === wanted);
  if (named) return named.value;
  // a number is a coding of some author, never a beginning
  const begun = /^[a-z]/.test(wanted) ? choices.filter((c) => String(c.value).toLowerCase().startsWith(wanted)) : [];
  return begun.length === 1 ? begun[0]?.value : undefined;
}
