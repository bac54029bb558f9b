/**
 * Writes `lab-sheet.schema.json` from core/sheet/schema.ts, `station-profile.schema.json` from core/profile/schema.ts `worksheet-file.schema.json` from core/worksheet/file.ts
 * and `answer-key.schema.json` from core/worksheet/answer-key.ts.
 * A test fails where one of them is not up to date.
 * Run it with the pinned Node: `npm exec -- node lab-sheets/publish-schema.ts`
 */
import { writeFileSync } from 'node:fs';
import { publishedProfileShape } from '../core/profile/load.ts';
import { publishedShape } from '../core/sheet/published.ts';
import { answerKeyShape } from '../core/worksheet/answer-key.ts';
import { worksheetFileJsonSchema } from '../core/worksheet/file.ts';

for (const [name, shape] of [
  ['lab-sheet.schema.json', publishedShape()],
  ['station-profile.schema.json', publishedProfileShape()],
  ['worksheet-file.schema.json', worksheetFileJsonSchema()],
  ['answer-key.schema.json', answerKeyShape()],
] as const) {
  writeFileSync(new URL(name, import.meta.url), `${JSON.stringify(shape, null, 2)}\n`);
  console.log(`lab-sheets/${name} written`);
}
