/** What is offered beside the entry line: the strap's median, and the number pointed at on the wall. One key accepts; typing goes on. */
import type { Call } from '../../core/session/calls.ts';
import { pointedOffered, strapOffered, type Offered } from '../../core/session/offered.ts';
import type { SessionState } from '../../core/session/state.ts';
import { usableRate } from '../../core/strap/window.ts';
import { SimulatedStrap } from '../strap/simulated-strap.svelte.ts';
import { strapOf, type Strap } from '../strap/strap.svelte.ts';
import { listenToWall, type PressedThere } from '../wall/pointing.ts';

/** A number that was pointed at is offered for so long, in real milliseconds: the next RPE is another. */
const POINTED_FOR = 60_000;

export interface OffersOf {
  readonly session: string;
  /** Whether this shell can reach a strap at all. */
  readonly canStrap: boolean;
  readonly clock: () => number;
  readonly state: () => SessionState | undefined;
  readonly calls: () => readonly Call[];
  /** Session time in whole seconds. */
  readonly second: () => number;
  readonly send: (offered: Offered) => void;
  readonly tell: (text: string, tone: 'told' | 'refused') => void;
  /** A key that was pressed while the second window was in front. */
  readonly press: (press: PressedThere) => void;
}

export class Offers {
  readonly #of: OffersOf;
  readonly #worn: Strap | undefined;
  readonly #simulated: SimulatedStrap;
  pointed = $state<number | undefined>(undefined);
  /** The second window has the keys, and hands them on. */
  wallInFront = $state(false);
  /** The unusual value that was asked about; the same key once more keeps it. */
  #asked: string | undefined;
  #forget: ReturnType<typeof setTimeout> | undefined;
  readonly #stopListening: () => void;

  constructor(of: OffersOf) {
    this.#of = of;
    const strap = of.canStrap ? strapOf(of.session, of.clock) : undefined;
    this.#worn = strap?.isThere ? strap : undefined;
    this.#simulated = new SimulatedStrap(of.session, of.state, of.second);
    this.#stopListening = listenToWall(of.session, {
      pointed: (number) => {
        this.pointed = number;
        clearTimeout(this.#forget);
        this.#forget = setTimeout(() => (this.pointed = undefined), POINTED_FOR);
      },
      pressed: (press) => of.press(press),
      front: (state) => (this.wallInFront = state),
    });
  }

  close(): void {
    this.#stopListening();
    clearTimeout(this.#forget);
  }

  /** In a rehearsal the simulated participant wears a simulated strap. */
  readonly strap = $derived.by(() => (this.#of.state()?.way === 'rehearsal' ? this.#simulated : this.#worn));
  /** A strap is of use where people record what they measure: not where the simulated pair records. */
  readonly mayStrap = $derived.by(() => {
    const state = this.#of.state();
    return this.strap !== undefined && state?.readOnly === undefined && state?.way !== 'paper' && state?.rehearsal?.records !== true;
  });
  readonly fromStrap = $derived.by(() => {
    const state = this.#of.state();
    // Read for its change: the packets themselves are not state.
    if (!this.strap?.latest || !state || !this.mayStrap) return undefined;
    return strapOffered(state, this.#of.calls(), this.strap.samples, Math.max(this.#of.second(), this.strap.samples.at(-1)?.at ?? 0));
  });
  readonly fromPointing = $derived.by(() => (this.pointed === undefined ? undefined : pointedOffered(this.#of.calls(), this.pointed)));

  /** How the strap is, in a word or two; undefined where none was chosen. */
  readonly strapWords = $derived.by((): { readonly text: string; readonly bad: boolean } | undefined => {
    const { strap } = this;
    if (!strap || !this.mayStrap || strap.link === 'none') return undefined;
    if (strap.link === 'choosing') return { text: 'choosing', bad: false };
    if (strap.link === 'connecting') return { text: 'connecting', bad: false };
    if (strap.link === 'lost') return { text: 'dropped out, reconnecting', bad: true };
    if (strap.silentFor > 0) return { text: `silent for ${Math.floor(strap.silentFor / 1000)} s`, bad: true };
    if (!strap.latest) return { text: 'waiting for a beat', bad: false };
    if (strap.latest.contact === 'lost') return { text: 'no skin contact', bad: true };
    const rate = usableRate(strap.latest);
    return rate === undefined ? { text: 'no usable rate', bad: true } : { text: `${rate} now`, bad: false };
  });

  /** The strap's key: accepts what it offers; before Exercise it chooses one. */
  takeStrap(): void {
    const { strap } = this;
    const state = this.#of.state();
    if (!strap || !state) return this.#of.tell('This window cannot read a heart-rate strap. Type the pulse.', 'told');
    if (!this.mayStrap) return this.#of.tell('The simulated pair records here, without a strap.', 'told');
    if (this.fromStrap) return this.#accept(this.fromStrap);
    if (strap.link === 'none') {
      if (state.phase === 'exercise') return this.#of.tell(strap.problem ?? 'A strap is chosen before Exercise. Type the pulse.', 'refused');
      return void this.choose();
    }
    const rate = strap.latest && usableRate(strap.latest);
    if (rate !== undefined && strap.link === 'connected' && strap.silentFor === 0) return this.#of.tell(`The strap shows ${rate}. Nothing is offered yet: no heart rate is called for, or too little has come. Type hr ${rate} to write it down.`, 'told');
    this.#of.tell(`Strap: ${this.strapWords?.text ?? 'nothing has come yet'}. Type the pulse.`, 'refused');
  }

  async choose(): Promise<void> {
    await this.strap?.choose();
    if (this.strap?.problem) this.#of.tell(this.strap.problem, 'refused');
  }

  takePointed(): void {
    if (this.pointed === undefined) return this.#of.tell('Nothing was pointed at on the second window.', 'told');
    if (!this.fromPointing) return this.#of.tell(`Pointed at ${this.pointed}, but no RPE is called for. Type r${this.pointed} to write it down.`, 'told');
    this.#accept(this.fromPointing);
    this.pointed = undefined;
  }

  #accept(offered: Offered): void {
    if (offered.ask !== undefined && this.#asked !== offered.draft.data.typed) {
      this.#asked = offered.draft.data.typed;
      return this.#of.tell(offered.ask, 'refused');
    }
    this.#asked = undefined;
    this.#of.send(offered);
  }
}
