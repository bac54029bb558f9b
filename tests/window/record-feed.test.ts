/** A record as a window sees it, when somebody else writes in between. */
import { expect, it } from 'vitest';
import type { RecordSlice, StationApi } from '../../core/contract/contract.ts';
import { bodyOf, type StoredEvent } from '../../core/record/event.ts';
import { success } from '../../core/result.ts';
import { RecordFeed } from '../../renderer/app/record-feed.svelte.ts';

const stored = (seq: number, text: string): StoredEvent => ({
  body: bodyOf({ record: 's-abcdef', seq, kind: 'note-added', version: 1, taken: seq, entered: seq, author: 'KL', command: `command-${seq}`, data: { text } }),
  hash: '',
});

it('what this window wrote is in sight when the writing is answered, also behind an event that it has not read yet', async () => {
  const record = [stored(0, 'first')];
  const slice = (from: number): RecordSlice => ({ record: 's-abcdef', events: record.slice(from), length: record.length, clock: { now: 0, rate: 0 } });
  const call = async (name: string, input: { from?: number }) => {
    if (name === 'record.read') {
      // An answer takes a turn, as it does over a wire.
      await new Promise((resolve) => setTimeout(resolve, 1));
      return success(slice(input.from ?? 0));
    }
    record.push(stored(1, 'of another author'), stored(2, 'own'));
    return success({ ...slice(2), repeated: false });
  };
  const feed = new RecordFeed({ call, subscribe: () => () => {} } as unknown as StationApi, 's-abcdef');
  await feed.read();
  await feed.append('KL', { kind: 'note-added', data: { text: 'own' } });
  expect(feed.events.map((event) => (event.data as { text: string }).text)).toEqual(['first', 'of another author', 'own']);
});
