/** A line of the head of the sheet: what is asked about, what is refused, and that typing goes on while it is written. */
import { describe, expect, test } from 'vitest';
import { failure, success, type Result } from '../../core/result.ts';
import { Field } from '../../renderer/shared/field.svelte.ts';

interface Written {
  readonly text: string;
  answer(result: Result<unknown>): Promise<void>;
}

/** A field over a record that answers when it is told to. 200 is unusual, 999 impossible. */
function fieldOver(recorded = ''): { readonly field: Field; readonly written: Written[]; record: string } {
  const over = { record: recorded, written: [] as Written[] };
  const field = new Field({
    recorded: () => over.record,
    read: (text) => (text === '999' ? { ok: false, message: 'not possible' } : { ok: true, ...(text === '200' ? { ask: 'Unusual. Enter again to keep it.' } : {}) }),
    write: (text) =>
      new Promise((resolve) => {
        over.written.push({
          text,
          answer: async (result) => {
            if (result.ok) over.record = text;
            resolve(result);
            await Promise.resolve();
            await Promise.resolve();
          },
        });
      }),
  });
  return Object.assign(over, { field });
}

describe('a field', () => {
  test('lets the person move on at once and writes behind', async () => {
    const { field, written } = fieldOver();
    field.text = '22';
    expect(field.commit('enter')).toBe(true);
    expect(written.map(({ text }) => text)).toEqual(['22']);
    expect(field.isUnsaved).toBe(true);
    await written[0]?.answer(success(undefined));
    expect(field.isUnsaved).toBe(false);
    expect(field.text).toBe('22');
  });

  test('is not written twice when leaving follows Enter', async () => {
    const { field, written } = fieldOver();
    field.text = '22';
    field.commit('enter');
    field.commit('leaving');
    expect(written).toHaveLength(1);
  });

  test('asks once on Enter, keeps on the second, and keeps on leaving', () => {
    const first = fieldOver();
    first.field.text = '200';
    expect(first.field.commit('enter')).toBe(false);
    expect(first.field.message).toMatchObject({ level: 'ask' });
    expect(first.written).toHaveLength(0);
    expect(first.field.commit('enter')).toBe(true);
    expect(first.written).toHaveLength(1);

    const second = fieldOver();
    second.field.text = '200';
    expect(second.field.commit('leaving')).toBe(true);
    expect(second.written).toHaveLength(1);
  });

  test('asks again after the text was changed', () => {
    const { field, written } = fieldOver();
    field.text = '200';
    field.commit('enter');
    field.text = '20';
    field.text = '200';
    expect(field.commit('enter')).toBe(false);
    expect(written).toHaveLength(0);
  });

  test('keeps a refused text in the field, out of the record', () => {
    const { field, written } = fieldOver('22');
    field.text = '999';
    expect(field.commit('leaving')).toBe(false);
    expect(field.isInvalid).toBe(true);
    expect(field.text).toBe('999');
    expect(written).toHaveLength(0);
    field.forget();
    expect(field.text).toBe('22');
    expect(field.isInvalid).toBe(false);
  });

  test('says why the station did not take it, and keeps what was typed', async () => {
    const { field, written } = fieldOver();
    field.text = '22';
    field.commit('enter');
    await written[0]?.answer(failure('lost', 'The station does not answer.'));
    expect(field.message).toEqual({ text: 'The station does not answer.', level: 'refused' });
    expect(field.text).toBe('22');
    // Tried again as it stands.
    expect(field.commit('leaving')).toBe(true);
    expect(written).toHaveLength(2);
  });

  test('does not lose what is typed while the earlier text is being written', async () => {
    const { field, written } = fieldOver();
    field.text = '2';
    field.commit('enter');
    field.text = '22';
    await written[0]?.answer(success(undefined));
    expect(field.text).toBe('22');
    expect(field.isUnsaved).toBe(true);
  });

  test('leaves a remark beside an unusual value that stands in the record', () => {
    const { field } = fieldOver('200');
    expect(field.message).toEqual({ text: 'Unusual.', level: 'remark' });
  });
});
