/** Erasing a session and going back to a copy, as the first screen offers them. */
import type { BackupList } from '../../core/contract/backups.ts';
import type { SessionSummary, StationApi } from '../../core/contract/contract.ts';
import type { Erased } from '../../core/contract/erase.ts';
import { phaseNames } from '../app/session-words.ts';
import { wallText } from '../shared/wall-text.ts';
import { many } from './keeping-words.ts';

/** A session that may be erased, or why not yet. */
export interface ErasableLine {
  readonly id: string;
  readonly participant: string;
  readonly about: string;
  /** What has to be typed so that nobody erases the wrong one. */
  readonly word: string;
  readonly running: boolean;
}

export class Erasing {
  readonly #api: StationApi;
  lines = $state.raw<readonly ErasableLine[]>([]);
  erased = $state.raw<readonly Erased[]>([]);
  locked = $state(false);
  working = $state(false);
  refused = $state<string | undefined>(undefined);
  done = $state<string | undefined>(undefined);

  constructor(api: StationApi) {
    this.#api = api;
  }

  async refresh(): Promise<void> {
    const [sessions, erased, lock] = await Promise.all([
      this.#api.call('sessions.list', {}),
      this.#api.call('sessions.erased', {}),
      this.#api.call('passphrase.status', {}),
    ]);
    if (sessions.ok) this.lines = sessions.value.map(lineOf);
    if (erased.ok) this.erased = erased.value;
    // A lock that cannot be read is shut.
    this.locked = !lock.ok || lock.value.set;
  }

  /** @returns whether it is gone. */
  async erase(line: ErasableLine, by: string, reason: string, passphrase: string): Promise<boolean> {
    this.working = true;
    this.refused = undefined;
    this.done = undefined;
    const answer = await this.#api.call('session.erase', { session: line.id, by, reason, ...(passphrase === '' ? {} : { passphrase }) });
    this.working = false;
    if (answer.ok) {
      const { worksheets, copiesCleaned, copiesDeleted } = answer.value;
      const damaged = copiesDeleted === 0 ? '' : ` ${many(copiesDeleted, 'damaged copy was', 'damaged copies were')} deleted, since what is in them cannot be told.`;
      this.done = `Erased: the session of ${line.participant}, ${many(worksheets, 'worksheet', 'worksheets')}, and its part of ${many(copiesCleaned, 'copy', 'copies')}.${damaged}`;
    } else this.refused = answer.error.message;
    await this.refresh();
    return answer.ok;
  }
}

function lineOf(session: SessionSummary): ErasableLine {
  const { participant, phase, way } = session;
  return {
    id: session.id,
    participant: participant ?? 'no code yet',
    about: [session.sheetTitle, wallText(session.openedWall), phaseNames[phase], ...(session.worksheets.length === 0 ? [] : [many(session.worksheets.length, 'worksheet', 'worksheets')])].join(' · '),
    word: participant ?? 'erase',
    running: way !== 'paper' && session.readOnly === undefined && (phase === 'exercise' || phase === 'recovery'),
  };
}

export class Copies {
  readonly #api: StationApi;
  list = $state.raw<BackupList | undefined>(undefined);
  locked = $state(false);
  refused = $state<string | undefined>(undefined);
  /** Set once the station starts again with a copy. */
  going = $state(false);

  constructor(api: StationApi) {
    this.#api = api;
  }

  async refresh(): Promise<void> {
    const [list, lock] = await Promise.all([this.#api.call('backups.list', {}), this.#api.call('passphrase.status', {})]);
    if (list.ok) this.list = list.value;
    else this.refused = list.error.message;
    // Where there is no station the lock cannot be asked; the passphrase is then asked for when it turns out to be needed.
    if (lock.ok) this.locked = lock.value.set;
  }

  async restore(name: string, passphrase: string): Promise<void> {
    this.refused = undefined;
    this.going = true;
    const answer = await this.#api.call('backup.restore', { command: crypto.randomUUID(), name, ...(passphrase === '' ? {} : { passphrase }) });
    if (!answer.ok) {
      this.going = false;
      this.refused = answer.error.message;
      if (answer.error.code.startsWith('passphrase')) this.locked = true;
      return;
    }
    // Answered only by the station that has started again.
    await this.#api.call('station.about', {});
    location.reload();
  }
}
