/** The strap of a rehearsal: worn by the simulated participant, with the troubles that a strap has. Its packets are worked out, not sent. */
import type { strapOfRehearsal } from '../../core/rehearsal/strap.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { StrapPacket } from '../../core/strap/packet.ts';
import { SILENT_AFTER, type StrapSample } from '../../core/strap/window.ts';
import { recall, remember } from '../live/remembered.ts';
import type { StrapLink } from './strap.svelte.ts';

/** As long as any reading's window. */
const LOOKED_AT = 60_000;
/** A packet of a second ago is the present one. */
const PRESENT = 2_000;

export class SimulatedStrap {
  readonly session: string;
  readonly #state: () => SessionState | undefined;
  readonly #second: () => number;
  readonly isThere = true;
  readonly name = 'simulated strap';
  readonly problem = undefined;
  readonly silentFor = 0;
  #packets = $state.raw<typeof strapOfRehearsal | undefined>(undefined);

  /** @param second session time in whole seconds. */
  constructor(session: string, state: () => SessionState | undefined, second: () => number) {
    this.session = session;
    this.#state = state;
    this.#second = second;
    if (recall('simulated-strap') === session) void this.choose();
  }

  readonly samples = $derived.by((): readonly StrapSample[] => {
    const state = this.#state();
    return state === undefined ? [] : (this.#packets?.(state, this.#second(), LOOKED_AT) ?? []);
  });
  readonly latest = $derived.by((): StrapPacket | undefined => {
    const last = this.samples.at(-1);
    return last !== undefined && this.#second() - last.at <= PRESENT ? last.packet : undefined;
  });
  readonly link = $derived.by((): StrapLink => {
    if (!this.#packets) return 'none';
    const state = this.#state();
    if (state?.phase === 'prepare') return 'connecting';
    // Nothing of the last minute, or nothing for as long as a real one would be given up.
    const last = this.samples.at(-1);
    return state?.phase !== 'rest' && (last === undefined || this.#second() - last.at > SILENT_AFTER) ? 'lost' : 'connected';
  });

  async choose(): Promise<void> {
    this.#packets = (await import('../../core/rehearsal/strap.ts')).strapOfRehearsal;
    remember('simulated-strap', this.session);
  }
}
