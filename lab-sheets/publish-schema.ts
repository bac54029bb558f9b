/**
 * Writes `lab-sheet.schema.json` from core/sheet/schema.ts. A test fails where the file is not up to date.
 * Run it with the pinned Node: `npm exec -- node lab-sheets/publish-schema.ts`
 */
import { writeFileSync } from 'node:fs';
import { publishedShape } from '../core/sheet/published.ts';

writeFileSync(new URL('lab-sheet.schema.json', import.meta.url), `${JSON.stringify(publishedShape(), null, 2)}\n`);
console.log('lab-sheets/lab-sheet.schema.json written');
