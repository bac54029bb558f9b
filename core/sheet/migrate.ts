/** Older forms of the lab sheet, brought to the present one in memory. Files are never rewritten. */
import { SHEET_FORM } from './schema.ts';
import { oneOf } from './nearest.ts';

type Data = Record<string, unknown>;

/** From each older form to the one after it, in order. A step never looks at anything but the data. */
const steps: readonly { readonly from: string; readonly to: string; migrate(data: Data): Data }[] = [];

export type Migration =
  | { readonly ok: true; readonly data: unknown; readonly notes: readonly string[] }
  | { readonly ok: false; readonly message: string; readonly remedy: string };

/** Brings a sheet's data to the present form, or says why it cannot be. Data without `schema:` is left to the shape check. */
export function migrate(data: unknown): Migration {
  const notes: string[] = [];
  if (typeof data !== 'object' || data === null || Array.isArray(data)) return { ok: true, data, notes };
  let now = data as Data;
  for (const step of steps) {
    if (now['schema'] !== step.from) continue;
    now = { ...step.migrate(now), schema: step.to };
    notes.push(`read as ${step.to}; the file itself is still ${step.from}`);
  }
  const form = now['schema'];
  if (form === SHEET_FORM || form === undefined || form === null) return { ok: true, data: now, notes };
  const newer = /^stagecall-lab-sheet\/(\d+)$/.exec(String(form));
  const present = Number(SHEET_FORM.split('/')[1]);
  if (newer && Number(newer[1]) > present) return { ok: false, message: `this sheet is written for a newer program (${String(form)})`, remedy: `open it with a newer Stagecall; this one reads ${SHEET_FORM}` };
  return { ok: false, message: `'${String(form).slice(0, 60)}' is not a form of lab sheet`, remedy: oneOf(String(form).slice(0, 60), [SHEET_FORM]) };
}
