/** A schema's complaint in words: never the language of the program. */
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { shapeWords } from '../../core/shape-words.ts';

const shape = z.strictObject({ symptom: z.boolean(), slot: z.object({ stage: z.number() }).optional() });
const said = (value: unknown): string => shapeWords(shape.safeParse(value).error!, 'its data');

describe('what a schema found wrong', () => {
  it('names the place, what was expected, and what was there', () => {
    expect(said({})).toBe('symptom: boolean expected, nothing there');
    expect(said({ symptom: 'no' })).toBe('symptom: boolean expected, string found');
    expect(said({ symptom: true, slot: { stage: null } })).toBe('slot.stage: number expected, null found');
  });
  it('names the whole where no part is to blame', () => {
    expect(said(7)).toBe('its data: object expected, number found');
  });
  it('keeps other complaints as they are', () => {
    expect(said({ symptom: true, more: 1 })).toContain('its data: Unrecognized key');
  });
});
