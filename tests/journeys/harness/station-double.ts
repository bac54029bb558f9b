/**
 * A station inside the page: the real fold and the real rules over a record in memory, with a clock that the test sets.
 * It lets a test put the live sheet into any moment of a session at once; nothing about it is durable.
 */
import type { ClockReading, InputOf, CommandName, OutputOf, RecordChange, StationAbout, StationApi } from '../../../core/contract/contract.ts';
import { STATION_NEWS } from '../../../core/contract/station-news.ts';
import { CHAIN_START, chainHash, sha256Hex } from '../../../core/record/chain.ts';
import { bodyOf, eventOf, type StoredEvent } from '../../../core/record/event.ts';
import { failure, success, type Result } from '../../../core/result.ts';
import { decideSession } from '../../../core/session/decide.ts';
import { sessionVersions, type SessionDraft } from '../../../core/session/events.ts';
import { foldSession } from '../../../core/session/fold.ts';
import { fakePassphrase, fakeProfile } from '../../shells/fake-instructor.ts';
import { instructorsOwn } from '../../../core/session/instructor.ts';
import type { SessionState } from '../../../core/session/state.ts';

export const SESSION = 'session-double';

export const about: StationAbout = { version: '0', shell: 'test', capabilities: { save: 'download', strap: false, secondWindow: false }, notices: [], stationKey: 'double' };

export class StationDouble implements StationApi {
  readonly #stored: StoredEvent[] = [];
  readonly #answers = new Map<string, number>();
  readonly #listeners = new Set<Parameters<StationApi['subscribe']>[0]>();
  #now = 0;
  #rate = 0;
  #since = performance.now();
  readonly #profile = fakeProfile(() => this.#news());
  readonly #passphrase = fakePassphrase();
  /** What the station has to say; a test sets it. */
  notices: StationAbout['notices'] = [];
  /** Whether what is the instructor's needs the passphrase's proof; the real station asks its lock. */
  guarded = false;
  /** While true no command is answered and nothing is told. */
  isLost = false;

  /** Writes the first event, which carries the lab sheet. */
  open(sheet: { readonly id: string; readonly version: number; readonly text: string }, way: 'live' | 'rehearsal', author: string): void {
    this.#write({ kind: 'session-opened', data: { way, sheet: { ...sheet, hash: sha256Hex(sheet.text) }, wall: '2026-03-02T10:00:00+00:00', ...(way === 'rehearsal' ? { rehearsal: { participant: 'R-01', seed: 7, rate: 10, records: false } } : {}) } }, author, 'open-session');
  }

  /** What happened at a moment of the session; refused facts throw, so that a scene cannot be wrong unnoticed. */
  at(moment: number, author: string, ...drafts: SessionDraft[]): void {
    this.#now = Math.max(this.#now, moment);
    const command = `scene-${this.#stored.length}`;
    for (const draft of drafts) {
      const decided = decideSession(this.state(), { ...draft, taken: moment }, { now: moment, author });
      if (!decided.ok) throw new Error(`${draft.kind} at ${moment}: ${decided.error.message}`);
      this.#write(decided.value, author, command);
    }
  }

  setClock(now: number, rate: number): void {
    this.#now = now;
    this.#rate = rate;
    this.#since = performance.now();
    this.#tell();
  }

  setLost(lost: boolean): void {
    this.isLost = lost;
    for (const listener of this.#listeners) listener.connected(!lost);
  }

  /** The station has something to say. */
  say(...notices: StationAbout['notices']): void {
    this.notices = notices;
    this.#news();
  }

  #news(): void {
    for (const listener of this.#listeners) listener.changed({ record: STATION_NEWS, length: 1, clock: { now: 0, rate: 0 } });
  }

  get events(): readonly { readonly kind: string; readonly data: unknown; readonly taken: number; readonly entered: number; readonly author: string }[] {
    return this.#stored.map((event) => eventOf(event.body));
  }

  state(): SessionState {
    return foldSession(this.#stored.map((event) => eventOf(event.body)));
  }

  clock(): ClockReading {
    return { now: this.#now + this.#rate * (performance.now() - this.#since), rate: this.#rate };
  }

  async call<Name extends CommandName>(name: Name, input: InputOf<Name>): Promise<Result<OutputOf<Name>>> {
    await new Promise((answer) => setTimeout(answer, 2));
    if (this.isLost) return failure('station-lost', 'The station does not answer.');
    const kept = { ...this.#profile, ...this.#passphrase } as Partial<Record<CommandName, (input: unknown) => Promise<Result<unknown>>>>;
    const own = kept[name];
    if (own) return (await own(input)) as Result<OutputOf<Name>>;
    return this.#answer(name, input) as Result<OutputOf<Name>>;
  }

  subscribe(listener: Parameters<StationApi['subscribe']>[0]): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  #answer(name: CommandName, input: unknown): Result<unknown> {
    if (name === 'station.about') return success({ ...about, notices: this.notices });
    if (name === 'record.read') return success(this.#slice((input as InputOf<'record.read'>).from ?? 0));
    if (name === 'rehearsal.rate') {
      this.setClock(this.clock().now, (input as InputOf<'rehearsal.rate'>).rate);
      return success(this.clock());
    }
    if (name !== 'record.append') return failure('not-here', `The double does not know ${name}.`);
    const { command, author, drafts, unlock } = input as InputOf<'record.append'>;
    if (this.guarded && unlock === undefined && drafts.some((draft) => instructorsOwn(this.state(), draft) !== undefined)) return failure('passphrase-needed', 'This needs the passphrase.');
    const known = this.#answers.get(command);
    if (known !== undefined) return success({ ...this.#slice(known), repeated: true });
    const from = this.#stored.length;
    const now = Math.round(this.clock().now);
    for (const draft of drafts) {
      const decided = decideSession(this.state(), draft as SessionDraft, { now, author });
      if (!decided.ok) {
        this.#stored.length = from;
        return decided;
      }
      this.#write(decided.value, author, command, now);
    }
    this.#answers.set(command, from);
    this.#tell();
    return success({ ...this.#slice(from), repeated: false });
  }

  #slice(from: number) {
    return { record: SESSION, events: this.#stored.slice(from), length: this.#stored.length, clock: this.clock() };
  }

  #tell(): void {
    if (this.isLost) return;
    const change: RecordChange = { record: SESSION, length: this.#stored.length, clock: this.clock() };
    for (const listener of this.#listeners) listener.changed(change);
  }

  #write(draft: SessionDraft, author: string, command: string, entered = this.#now): void {
    const body = bodyOf({ record: SESSION, seq: this.#stored.length, kind: draft.kind, version: sessionVersions[draft.kind], taken: draft.taken ?? entered, entered, author, command, data: draft.data });
    this.#stored.push({ body, hash: chainHash(this.#stored.at(-1)?.hash ?? CHAIN_START, body) });
  }
}
