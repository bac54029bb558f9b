/** The paper commands of the station in memory: the same data as the real one, and no PDF. */
import type { Handlers } from '../../core/contract/contract.ts';
import { dictionaryCsv } from '../../core/data-export/dictionary.ts';
import { readingsCsv } from '../../core/data-export/readings.ts';
import { recordJson } from '../../core/data-export/record-json.ts';
import { eventOf, type StoredEvent } from '../../core/record/event.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { foldSession } from '../../core/session/fold.ts';

const base64 = (text: string): string => btoa(String.fromCharCode(...new TextEncoder().encode(text)));

export function fakePaper(find: (id: string) => Result<{ readonly kind: 'session' | 'worksheet'; readonly stored: readonly StoredEvent[] }>): Pick<Handlers, 'sheet.blank' | 'record.data'> {
  return {
    'sheet.blank': async () => failure('not-here', 'The test station makes no PDF.'),
    'record.data': async ({ session, as }) => {
      if (as === 'dictionary') return success({ name: 'readings-dictionary.csv', mime: 'text/csv', base64: base64(dictionaryCsv()) });
      const found = find(session);
      if (!found.ok) return found;
      if (found.value.kind !== 'session') return failure('not-a-session', 'Data are exported from a session.');
      const { stored } = found.value;
      const state = foldSession(stored.map(({ body }) => eventOf(body)));
      return as === 'readings'
        ? success({ name: `readings-${session}.csv`, mime: 'text/csv', base64: base64(readingsCsv(state)) })
        : success({ name: `record-${session}.json`, mime: 'application/json', base64: base64(recordJson(state, stored, '0.0.0')) });
    },
  };
}
