/**
 * Writes `lab-sheet.schema.json` from core/sheet/schema.ts and `worksheet-file.schema.json` from core/worksheet/file.ts.
 * A test fails where either file is not up to date.
 * Run it with the pinned Node: `npm exec -- node lab-sheets/publish-schema.ts`
 */
import { writeFileSync } from 'node:fs';
import { publishedShape } from '../core/sheet/published.ts';
import { worksheetFileJsonSchema } from '../core/worksheet/file.ts';

for (const [name, shape] of [
  ['lab-sheet.schema.json', publishedShape()],
  ['worksheet-file.schema.json', worksheetFileJsonSchema()],
] as const) {
  writeFileSync(new URL(name, import.meta.url), `${JSON.stringify(shape, null, 2)}\n`);
  console.log(`lab-sheets/${name} written`);
}
