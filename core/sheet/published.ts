/** The lab sheet's shape as JSON Schema, for editors that complete and check as one types. */
import { z } from 'zod';
import { labSheetSchema } from './schema.ts';

/** The parts of JSON Schema (draft 2020-12) that a lab sheet's shape uses. */
export interface ShapeNode {
  readonly type?: string;
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly properties?: Readonly<Record<string, ShapeNode>>;
  readonly required?: readonly string[];
  readonly items?: ShapeNode;
  readonly additionalProperties?: ShapeNode | boolean;
  readonly anyOf?: readonly ShapeNode[];
  readonly oneOf?: readonly ShapeNode[];
  readonly description?: string;
  readonly minItems?: number;
  readonly [more: string]: unknown;
}

/** Made from `schema.ts`; what an author writes, so that keys with a default may be left out. */
export function publishedShape(): ShapeNode {
  return {
    ...(z.toJSONSchema(labSheetSchema, { io: 'input' }) as ShapeNode),
    $id: 'lab-sheet.schema.json',
    title: 'Stagecall lab sheet',
    description: 'Made from core/sheet/schema.ts by lab-sheets/publish-schema.ts. What no schema can say (formula ids, units, references) is checked by "npm run -s lab -- check".',
  };
}
