/** The fake station's erasing: the same answers as the real one, over its maps. It keeps no copies. */
import type { Handlers } from '../../core/contract/contract.ts';
import type { Erased } from '../../core/contract/erase.ts';
import { failure, success } from '../../core/result.ts';
import { foldSession } from '../../core/session/fold.ts';
import type { RecordEvent } from '../../core/record/event.ts';

interface Rows {
  readonly records: Map<string, { readonly id: string; readonly kind: 'session' | 'worksheet'; readonly session?: string; readonly events: readonly RecordEvent[] }>;
  readonly wall: string;
  gone(record: string): void;
}

type Names = 'session.erase' | 'sessions.erased' | 'backups.list' | 'backup.restore';

export function fakeErasing({ records, wall, gone }: Rows): Pick<Handlers, Names> & { refusal(id: string): ReturnType<typeof failure> | undefined; opens(command: string): ReturnType<typeof failure> | undefined } {
  const tombstones = new Map<string, Erased>();
  const openedBy = new Set<string>();
  return {
    'sessions.erased': async () => success([...tombstones.values()].reverse()),
    'session.erase': async ({ session, by, reason }) => {
      const known = tombstones.get(session);
      if (known) return success({ ...known, copiesCleaned: 0, copiesDeleted: 0 });
      const record = records.get(session);
      if (!record) return failure('no-such-record', 'This station has no such record.');
      if (record.kind !== 'session') return failure('not-a-session', 'A worksheet goes with its session.');
      const { phase, way } = foldSession(record.events);
      if (way !== 'paper' && (phase === 'exercise' || phase === 'recovery')) return failure('session-running', 'A running test is not erased.');
      openedBy.add(record.events[0]?.command ?? '');
      const worksheets = [...records.values()].filter((other) => other.session === session);
      for (const { id } of [record, ...worksheets]) {
        records.delete(id);
        gone(id);
      }
      const tombstone = { session, erased: wall, by, reason, worksheets: worksheets.length };
      tombstones.set(session, tombstone);
      return success({ ...tombstone, copiesCleaned: 0, copiesDeleted: 0 });
    },
    'backups.list': async () => success({ present: true, copies: [] }),
    'backup.restore': async () => failure('not-here', 'This station keeps no copies of its record.'),
    refusal: (id) => (tombstones.has(id) ? failure('erased', 'This session was erased.') : undefined),
    opens: (command) => (openedBy.has(command) ? failure('erased', 'The session that this command opened was erased.') : undefined),
  };
}
