/** An answer on the worksheet: saved in a pause and on leaving, every attempt whole, nothing lost on the way. */
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { failure, success, type Result } from '../../core/result.ts';
import type { Attempt } from '../../core/worksheet/fold.ts';
import { Answer } from '../../renderer/worksheet/answer.svelte.ts';

type Sent = { readonly typed: string; readonly unit?: string; readonly working?: string; readonly draft?: boolean };

function answerOver(result: () => Result<unknown> = () => success(undefined)) {
  const sent: Sent[] = [];
  let standing: Attempt | undefined;
  const answer = new Answer({
    pause: 1_000,
    standing: () => standing,
    write: async (given) => {
      sent.push(given);
      const said = result();
      if (said.ok) standing = { ...given, seq: sent.length, entered: 0, author: 's-1' };
      return said;
    },
  });
  return { answer, sent };
}

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe('an answer', () => {
  test('is saved once a pause is long enough, and not while typing goes on', async () => {
    const { answer, sent } = answerOver();
    answer.typed = '3';
    await vi.advanceTimersByTimeAsync(900);
    answer.typed = '35';
    await vi.advanceTimersByTimeAsync(900);
    expect(sent).toEqual([]);
    await vi.advanceTimersByTimeAsync(200);
    // Still being typed: kept, and no attempt of its own until the field is left.
    expect(sent).toEqual([{ typed: '35', draft: true }]);
    expect(answer.isSaved).toBe(true);
    await answer.save();
    expect(sent).toEqual([{ typed: '35', draft: true }, { typed: '35' }]);
    await answer.save();
    expect(sent).toHaveLength(2);
  });

  test('is saved whole on leaving: value, unit and working together', async () => {
    const { answer, sent } = answerOver();
    answer.typed = '35.6';
    answer.unit = 'mL/kg/min';
    answer.working = '0.1 × 91.1';
    await answer.save();
    expect(sent).toEqual([{ typed: '35.6', unit: 'mL/kg/min', working: '0.1 × 91.1' }]);
    await answer.save();
    await vi.advanceTimersByTimeAsync(5_000);
    expect(sent).toHaveLength(1);
  });

  test('a text of ten million signs is not sent, and says so', async () => {
    const { answer, sent } = answerOver();
    answer.typed = 'x'.repeat(10_000_000);
    await answer.save();
    expect(sent).toEqual([]);
    expect(answer.refused).toMatch(/Too long/);
    expect(answer.isSaved).toBe(false);
  });

  test('what could not be saved stays, and goes when it is tried again', async () => {
    let lost = true;
    const { answer, sent } = answerOver(() => (lost ? failure('lost', 'The station does not answer.') : success(undefined)));
    answer.typed = '12';
    await answer.save();
    expect(answer.refused).toBe('The station does not answer.');
    expect(answer.typed).toBe('12');
    lost = false;
    await answer.save();
    expect(sent).toHaveLength(2);
    expect(answer.refused).toBeUndefined();
    expect(answer.isSaved).toBe(true);
  });

  test('a choice is saved at once', async () => {
    const { answer, sent } = answerOver();
    answer.choose('met');
    await vi.advanceTimersByTimeAsync(0);
    expect(sent).toEqual([{ typed: 'met' }]);
  });
});
