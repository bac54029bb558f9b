/** The words of a recorded session: what a row may be about, and in which phase. */
import { detailQuantities, readingQuantities, settingQuantities, type DetailId, type ReadingQuantity, type SettingQuantity } from '../vocabulary.ts';

export const phases = ['prepare', 'rest', 'exercise', 'recovery', 'worksheet'] as const;
export type ReplayPhase = (typeof phases)[number];

interface Shared {
  /** As the file writes it: `heart-rate`, `answer:hr-max`. */
  readonly id: string;
  readonly phases: readonly ReplayPhase[];
  /** Rows whose note alone can say what they are about. */
  readonly mayBeBlank: boolean;
}
export type RowQuantity = Shared &
  (
    | { readonly kind: 'reading'; readonly reading: ReadingQuantity }
    | { readonly kind: 'detail'; readonly detail: DetailId }
    | { readonly kind: 'setting'; readonly setting: SettingQuantity }
    | { readonly kind: 'answer'; readonly question: string; readonly row?: string }
    | { readonly kind: 'check'; readonly check: string }
    | { readonly kind: 'criterion'; readonly criterion: string }
    | { readonly kind: 'student-key' | 'screening' | 'consent' | 'stage' | 'gait' | 'handrail' | 'posture' | 'symptom' | 'note' | 'override' | 'stop' }
  );

const measured: readonly ReplayPhase[] = ['rest', 'exercise', 'recovery'];
const before: readonly ReplayPhase[] = ['prepare', 'rest'];
const session: readonly ReplayPhase[] = ['prepare', 'rest', 'exercise', 'recovery'];

const plain: readonly RowQuantity[] = [
  ...(Object.keys(detailQuantities) as DetailId[]).map((detail): RowQuantity => ({ kind: 'detail', detail, id: detail, phases: before, mayBeBlank: false })),
  ...(Object.keys(readingQuantities) as ReadingQuantity[]).map((reading): RowQuantity => ({ kind: 'reading', reading, id: reading, phases: measured, mayBeBlank: false })),
  ...(Object.keys(settingQuantities) as SettingQuantity[]).map((setting): RowQuantity => ({ kind: 'setting', setting, id: setting, phases: ['exercise', 'recovery'], mayBeBlank: false })),
  { kind: 'student-key', id: 'student-key', phases: ['prepare', 'worksheet'], mayBeBlank: false },
  { kind: 'screening', id: 'screening', phases: before, mayBeBlank: false },
  { kind: 'consent', id: 'consent', phases: before, mayBeBlank: false },
  { kind: 'stage', id: 'stage', phases: ['exercise'], mayBeBlank: false },
  { kind: 'gait', id: 'gait', phases: ['exercise', 'recovery'], mayBeBlank: false },
  { kind: 'handrail', id: 'handrail', phases: ['exercise', 'recovery'], mayBeBlank: false },
  { kind: 'posture', id: 'posture', phases: measured, mayBeBlank: false },
  { kind: 'symptom', id: 'symptom', phases: session, mayBeBlank: true },
  { kind: 'note', id: 'note', phases, mayBeBlank: true },
  { kind: 'override', id: 'override', phases: session, mayBeBlank: false },
  { kind: 'stop', id: 'stop', phases: ['exercise'], mayBeBlank: true },
];
const byName = new Map(plain.map((quantity) => [quantity.id, quantity]));

/** Every name, for suggestions. */
export const quantityNames: readonly string[] = [...byName.keys(), 'answer:QUESTION-ID', 'answer:QUESTION-ID/ROW', 'check:CHECK-ID', 'criterion:CRITERION-ID'];

/** The quantity that a cell names; undefined where none does. */
export function knownQuantity(text: string): RowQuantity | undefined {
  const name = text.trim().toLowerCase().replace(/[\s_]+/g, '-');
  const known = byName.get(name);
  if (known) return known;
  const parts = /^(answer|check|criterion)\s*:-?(.+)$/.exec(name);
  const rest = parts?.[2];
  if (parts === null || rest === undefined) return undefined;
  if (parts[1] === 'check') return { kind: 'check', check: rest, id: `check:${rest}`, phases: before, mayBeBlank: true };
  if (parts[1] === 'criterion') return { kind: 'criterion', criterion: rest, id: `criterion:${rest}`, phases: ['recovery'], mayBeBlank: true };
  const [question = '', row] = rest.split('/', 2);
  return { kind: 'answer', question, ...(row === undefined || row === '' ? {} : { row }), id: `answer:${rest}`, phases: ['worksheet'], mayBeBlank: false };
}
