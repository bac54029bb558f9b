/**
 * From the text of a lab sheet to the sheet, or to a list of what is wrong with it: file, line, place, fault and remedy.
 * Pure: the same text gives the same answer, and nothing is read or written.
 */
import { readUnit } from './check-tools.ts';
import { crossCheck } from './cross-checks.ts';
import { migrate } from './migrate.ts';
import { labSheetSchema, type LabSheet } from './schema.ts';
import { shapeProblems } from './shape-problems.ts';
import { readYaml, type Path, type TextProblem } from './yaml-text.ts';

export interface Problem {
  readonly file: string;
  /** Counting from 1. */
  readonly line: number;
  readonly column: number;
  /** Where in the sheet, as one would say it: "stages → list → 3 → speed". Empty for the file as a whole. */
  readonly path: string;
  /** What is wrong. */
  readonly message: string;
  /** What would be right. */
  readonly remedy: string;
}

export type SheetLoad =
  | { readonly ok: true; readonly sheet: LabSheet; readonly warnings: readonly Problem[] }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** More than these are not shown at once: the first ones are usually the cause of the others. */
const MOST_SHOWN = 20;

/**
 * Reads and checks a lab sheet.
 * @param fileName named in every problem; nothing is opened.
 * @returns the sheet with defaults filled in and the units of questions and checks as UCUM codes, or every problem found.
 */
export function loadSheet(text: string, fileName: string): SheetLoad {
  const told = (problems: readonly TextProblem[]): Problem[] =>
    problems.slice(0, MOST_SHOWN).map(({ path, ...problem }) => ({ file: fileName, line: problem.line, column: problem.column, path: pathInWords(path), message: problem.message, remedy: problem.remedy }));
  const read = readYaml(text);
  if (!read.ok) return { ok: false, problems: told(read.problems) };
  const { places } = read;
  if (typeof read.data !== 'object' || read.data === null || Array.isArray(read.data)) {
    return { ok: false, problems: told([{ line: 1, column: 1, path: [], message: 'this is not a lab sheet', remedy: 'a lab sheet begins with lines like "schema: stagecall-lab-sheet/1" and "title: …"' }]) };
  }
  const migrated = migrate(read.data);
  if (!migrated.ok) return { ok: false, problems: told([{ ...places.value(['schema']), path: ['schema'], message: migrated.message, remedy: migrated.remedy }]) };

  const shaped = labSheetSchema.safeParse(migrated.data);
  if (!shaped.success) return { ok: false, problems: told(shapeProblems(shaped.error.issues, migrated.data, places)) };

  const problems: TextProblem[] = [];
  const warnings: TextProblem[] = migrated.notes.map((note) => ({ ...places.key(['schema']), path: ['schema'], message: note, remedy: 'nothing needs to be done' }));
  const report = (list: TextProblem[]) => (path: Path, message: string, remedy: string) => {
    list.push({ ...places.value(path), path, message, remedy });
  };
  crossCheck(shaped.data, { problem: report(problems), warning: report(warnings) });
  const byLine = (a: TextProblem, b: TextProblem): number => a.line - b.line || a.column - b.column;
  if (problems.length > 0) return { ok: false, problems: told(problems.sort(byLine)) };
  return { ok: true, sheet: withUnitCodes(shaped.data), warnings: told(warnings.sort(byLine)) };
}

/** "stages → list → 3 → speed": items count from 1, as people count. */
function pathInWords(path: Path): string {
  return path.map((step) => (typeof step === 'number' ? String(step + 1) : step)).join(' → ');
}

/** One line for a person: `bruce.yaml, line 12: stages → list → 3 → speed: '3.4 mhp' is not a speed; write for example …` */
export function problemText(problem: Problem): string {
  const where = problem.path === '' ? '' : `${problem.path}: `;
  return `${problem.file}, line ${problem.line}: ${where}${problem.message}; ${problem.remedy}`;
}

function stepUnits(question: LabSheet['questions'][number]): object {
  return question.kind === 'number' && question.steps !== undefined ? { steps: question.steps.map((step) => ({ ...step, unit: readUnit(step.unit) ?? step.unit })) } : {};
}

/** Authors write units as they say them (bpm, METs); from here on they are codes. */
function withUnitCodes(sheet: LabSheet): LabSheet {
  return {
    ...sheet,
    questions: sheet.questions.map((question) => (question.kind === 'number' || question.kind === 'table' ? { ...question, unit: readUnit(question.unit) ?? question.unit, ...stepUnits(question) } : question)),
    checks: sheet.checks.map((check) => (check.value ? { ...check, value: { ...check.value, unit: readUnit(check.value.unit) ?? check.value.unit } } : check)),
  };
}
