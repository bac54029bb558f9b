/**
 * The answer key (`stagecall-answer-key/1`): what decides about marks, in a file of its own that stays with the instructor. It
 * names the lab sheet that it belongs to and changes only what it names. Nothing here ever reads a handed-in file.
 * The published JSON Schema, `lab-sheets/answer-key.schema.json`, is made from this file.
 */
import { z } from 'zod';
import { setFormats } from '../marking-set/formats.ts';
import { crossCheck } from '../sheet/cross-checks.ts';
import type { Problem } from '../sheet/load.ts';
import { loadSheet } from '../sheet/load.ts';
import { oneOf } from '../sheet/nearest.ts';
import type { ShapeNode } from '../sheet/published.ts';
import { carried, labSheetSchema, route, rubricLevel, steps, tolerance, words, type LabSheet, type Question } from '../sheet/schema.ts';
import { shapeProblems } from '../sheet/shape-problems.ts';
import { readYaml, type Path, type Places, type TextProblem } from '../sheet/yaml-text.ts';
import { readUnit } from '../sheet/check-tools.ts';

export const KEY_FORM = setFormats.key;

const questionKey = z.strictObject({
  marks: z.number().positive().optional(),
  tolerance: tolerance.optional(),
  accept: z.array(route).optional().describe('Other right ways; they take the place of those on the sheet'),
  answer: z.union([route, z.strictObject({ result: z.string() })]).optional(),
  decimals: z.number().int().min(0).max(6).optional(),
  carried,
  steps,
  rubric: z.array(rubricLevel).min(2).optional(),
  void: words.optional().describe('Why the question leaves the total for everyone'),
});

export const answerKeySchema = z.strictObject({
  schema: z.literal(KEY_FORM),
  sheet: z.string().min(1).max(100).describe('Id of the lab sheet that this key belongs to'),
  title: words.optional(),
  questions: z.record(z.string(), questionKey).default({}),
  'record-marks': labSheetSchema.shape['record-marks'],
  answers: labSheetSchema.shape.answers,
});
export type AnswerKey = z.infer<typeof answerKeySchema>;

export type KeyedSheet = { readonly ok: true; readonly sheet: LabSheet; readonly warnings: readonly Problem[] } | { readonly ok: false; readonly problems: readonly Problem[] };

/** Which of a key's words belong to which kind of question. */
const belongs: Readonly<Record<keyof z.infer<typeof questionKey>, readonly Question['kind'][]>> = {
  marks: ['number', 'table', 'judgement', 'choice', 'written'],
  tolerance: ['number', 'table'],
  accept: ['number', 'table'],
  answer: ['number', 'table', 'choice'],
  decimals: ['number', 'table'],
  carried: ['number', 'table'],
  steps: ['number'],
  rubric: ['written'],
  void: ['number', 'table', 'judgement', 'choice', 'written'],
};

/**
 * The lab sheet that marks: the instructor's own, changed by the key where there is one. Every check of a lab sheet holds for
 * the two together.
 * @param names under which faults are reported; nothing is opened.
 */
export function keyedSheet(sheetText: string, keyText: string | undefined, names: { readonly sheet: string; readonly key: string } = { sheet: 'the lab sheet', key: 'the answer key' }): KeyedSheet {
  const loaded = loadSheet(sheetText, names.sheet);
  if (!loaded.ok || keyText === undefined || keyText.trim() === '') return loaded;
  return applied(loaded.sheet, keyText, names.key);
}

function applied(sheet: LabSheet, keyText: string, file: string): KeyedSheet {
  const told = (problems: readonly TextProblem[]): Problem[] => problems.slice(0, 20).map(({ path, line, column, message, remedy }) => ({ file, line, column, path: path.join(' → '), message, remedy }));
  const read = readYaml(keyText);
  if (!read.ok) return { ok: false, problems: told(read.problems) };
  const { places } = read;
  const parsed = answerKeySchema.safeParse(read.data);
  if (!parsed.success) {
    if (typeof read.data !== 'object' || read.data === null || (read.data as { schema?: unknown }).schema !== KEY_FORM) {
      return { ok: false, problems: told([{ line: 1, column: 1, path: [], message: 'this is not an answer key', remedy: `an answer key begins with "schema: ${KEY_FORM}" and "sheet: …"` }]) };
    }
    return { ok: false, problems: told(shapeProblems(parsed.error.issues, read.data, places, answerKeyShape())) };
  }
  const key = parsed.data;
  const problems: TextProblem[] = [];
  const problem = (path: Path, message: string, remedy: string): void => void problems.push({ ...places.value(path), path, message, remedy });
  if (key.sheet !== sheet.id) problem(['sheet'], `the key is for "${key.sheet}", and the lab sheet is "${sheet.id}"`, 'give the key of this sheet');
  checkQuestionKeys(sheet, key, problem);
  if (problems.length > 0) return { ok: false, problems: told(problems) };
  const changed = change(sheet, key);
  const warnings: TextProblem[] = [];
  crossCheck(changed, { problem: (path, message, remedy) => problems.push(inKey(path, changed, places, message, remedy)), warning: (path, message, remedy) => warnings.push(inKey(path, changed, places, message, remedy)) });
  return problems.length > 0 ? { ok: false, problems: told(problems) } : { ok: true, sheet: changed, warnings: told(warnings) };
}

function checkQuestionKeys(sheet: LabSheet, key: AnswerKey, problem: (path: Path, message: string, remedy: string) => void): void {
  for (const [id, own] of Object.entries(key.questions)) {
    const question = sheet.questions.find((candidate) => candidate.id === id);
    if (question === undefined) {
      problem(['questions', id], `the sheet has no question "${id}"`, oneOf(id, sheet.questions.map((candidate) => candidate.id)));
      continue;
    }
    for (const name of Object.keys(own) as (keyof typeof belongs)[]) {
      if (own[name] !== undefined && !belongs[name].includes(question.kind)) problem(['questions', id, name], `"${name}" does not belong to a question of kind "${question.kind}"`, 'take it out');
    }
  }
}

/** A fault of the sheet and key together, at its place in the key where the key has one. */
function inKey(path: Path, sheet: LabSheet, places: Places, message: string, remedy: string): TextProblem {
  const [first, at, ...rest] = path;
  const own: Path = first === 'questions' && typeof at === 'number' ? ['questions', sheet.questions[at]?.id ?? at, ...rest] : path;
  return { ...places.value(own), path: own, message, remedy };
}

function change(sheet: LabSheet, key: AnswerKey): LabSheet {
  const questions = sheet.questions.map((question): Question => {
    const own = Object.hasOwn(key.questions, question.id) ? key.questions[question.id] : undefined;
    if (own === undefined) return question;
    const given = Object.fromEntries(Object.entries(own).filter(([, value]) => value !== undefined));
    const withSteps = own.steps === undefined ? {} : { steps: own.steps.map((step) => ({ ...step, unit: readUnit(step.unit) ?? step.unit })) };
    return { ...question, ...given, ...withSteps } as Question;
  });
  const items = key['record-marks'] ?? sheet['record-marks'];
  const marks = [...questions, ...(items ?? [])].reduce((sum, item) => sum + item.marks, 0);
  return { ...sheet, questions, marks, ...(items === undefined ? {} : { 'record-marks': items }), ...(key.answers === undefined ? {} : { answers: key.answers }) };
}

/** The key's shape as JSON Schema (draft 2020-12), for editors that complete and check as one types. */
export function answerKeyShape(): ShapeNode {
  return {
    ...(z.toJSONSchema(answerKeySchema, { io: 'input' }) as ShapeNode),
    $id: 'answer-key.schema.json',
    title: 'Stagecall answer key',
    description: 'Made from core/worksheet/answer-key.ts by lab-sheets/publish-schema.ts. What no schema can say is checked when the key is given to the marking desk or to "npm run -s lab -- check".',
  };
}
