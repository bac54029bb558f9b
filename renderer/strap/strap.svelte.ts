/**
 * The heart-rate strap of one session in this window: chosen by the person, held, connected again whenever it drops out.
 * Nothing of it is written anywhere by itself: it offers, and the recorder accepts.
 */
import { createSubscriber } from 'svelte/reactivity';
import { HEART_RATE_MEASUREMENT, HEART_RATE_SERVICE, readStrapPacket, type StrapPacket } from '../../core/strap/packet.ts';
import { SILENT_AFTER, type StrapSample } from '../../core/strap/window.ts';
import { bluetoothOf, type Bluetooth, type StrapCharacteristic, type StrapDevice } from './web-bluetooth.ts';

/** `none`: not chosen; `lost`: chosen, dropped out, being connected again. */
export type StrapLink = 'none' | 'choosing' | 'connecting' | 'connected' | 'lost';

/** Packets older than this are of no reading any more, session ms. */
const KEPT = 5 * 60_000;
/** Waits before it is tried again, in real milliseconds: at once first, since most drop-outs are short. */
const TRY_AGAIN = [200, 500, 1_000, 2_000, 4_000] as const;
/** A strap that stays silent for so long on an open connection is connected anew, in real milliseconds. */
const HUNG_AFTER = 12_000;
const HELD = 'stagecall-strap';

export class Strap {
  readonly session: string;
  readonly #bluetooth: Bluetooth | undefined;
  /** The session's time, for a packet that has just come. */
  readonly #now: () => number;
  link = $state<StrapLink>('none');
  name = $state('');
  latest = $state.raw<StrapPacket | undefined>(undefined);
  /** Why there is none, in words. */
  problem = $state<string | undefined>(undefined);
  #samples: readonly StrapSample[] = [];
  #device: StrapDevice | undefined;
  /** This window's clock when something was last heard, or the connection was made. */
  #heard = 0;
  #tries = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;
  readonly #ticks = createSubscriber((update) => {
    const timer = setInterval(update, 500);
    return () => clearInterval(timer);
  });

  constructor(session: string, now: () => number, bluetooth = bluetoothOf(navigator)) {
    this.session = session;
    this.#now = now;
    this.#bluetooth = bluetooth;
    void this.#holdAgain();
  }

  get isThere(): boolean {
    return this.#bluetooth !== undefined;
  }

  /** What came of late, oldest first. Read it together with `latest`, which says when it has changed. */
  get samples(): readonly StrapSample[] {
    return this.#samples;
  }

  /** Milliseconds of silence of a connected strap, once they are too many; 0 otherwise. Keeps itself fresh inside a template. */
  get silentFor(): number {
    if (this.link !== 'connected') return 0;
    this.#ticks();
    const silence = performance.now() - this.#heard;
    if (silence > HUNG_AFTER) queueMicrotask(() => this.link === 'connected' && performance.now() - this.#heard > HUNG_AFTER && this.#dropped(true));
    return silence > SILENT_AFTER ? silence : 0;
  }

  /** Asks which strap; the browser, or the program's own chooser, lists those that are worn near by. Needs a key or a click. */
  async choose(): Promise<void> {
    if (!this.#bluetooth || this.link === 'choosing') return;
    const before = this.link;
    this.link = 'choosing';
    this.problem = undefined;
    try {
      const device = await this.#bluetooth.requestDevice({ filters: [{ services: [HEART_RATE_SERVICE] }] });
      this.#hold(device);
    } catch (cause) {
      this.link = before;
      this.problem = whyNot(cause as Error);
    }
  }

  /** Lets the strap go. */
  forget(): void {
    clearTimeout(this.#timer);
    const device = this.#device;
    this.#device = undefined;
    this.link = 'none';
    this.latest = undefined;
    this.#samples = [];
    remember(undefined);
    device?.removeEventListener('gattserverdisconnected', this.#disconnected);
    device?.gatt?.disconnect();
  }

  #hold(device: StrapDevice): void {
    if (this.#device !== device) {
      this.#device?.removeEventListener('gattserverdisconnected', this.#disconnected);
      this.#device?.gatt?.disconnect();
      this.#samples = [];
      this.latest = undefined;
    }
    this.#device = device;
    this.name = device.name?.trim() || 'Heart-rate strap';
    remember(`${this.session} ${device.id}`);
    device.addEventListener('gattserverdisconnected', this.#disconnected);
    this.#tries = 0;
    this.link = 'connecting';
    void this.#connect(device);
  }

  /** A window that was loaded again holds its strap without asking, where the browser can tell which it was. */
  async #holdAgain(): Promise<void> {
    const [session, ...id] = (recall() ?? '').split(' ');
    if (session !== this.session) return;
    const known = await this.#bluetooth?.getDevices?.().catch(() => []);
    const device = known?.find((one) => one.id === id.join(' '));
    if (device && this.link === 'none') this.#hold(device);
    else if (this.link === 'none') this.problem = 'The window was loaded again and has lost its strap. Choose it once more, or type the pulse.';
  }

  async #connect(device: StrapDevice): Promise<void> {
    try {
      const server = await device.gatt?.connect();
      const service = await server?.getPrimaryService(HEART_RATE_SERVICE);
      const characteristic = await service?.getCharacteristic(HEART_RATE_MEASUREMENT);
      if (!characteristic || this.#device !== device) return;
      characteristic.addEventListener('characteristicvaluechanged', this.#changed);
      await characteristic.startNotifications();
      if (this.#device !== device) return;
      this.#heard = performance.now();
      this.#tries = 0;
      this.link = 'connected';
    } catch {
      if (this.#device === device) this.#dropped(false);
    }
  }

  readonly #disconnected = (): void => this.#dropped(false);
  /** One function for good, so that a characteristic that comes again is not heard twice. */
  readonly #changed = (event: Event): void => {
    if (this.#device) this.#take((event.target as StrapCharacteristic).value);
  };

  /** @param hang up first: a connection that says nothing is no connection. */
  #dropped(hang: boolean): void {
    const device = this.#device;
    if (!device) return;
    this.link = 'lost';
    this.latest = undefined;
    clearTimeout(this.#timer);
    // Hanging up tells `#disconnected`, which comes here again and sets the timer anew.
    if (hang) device.gatt?.disconnect();
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      if (this.#device === device && this.link === 'lost') void this.#connect(device);
    }, TRY_AGAIN[Math.min(this.#tries, TRY_AGAIN.length - 1)]);
    this.#tries += 1;
  }

  #take(value: DataView | undefined): void {
    if (!value) return;
    const packet = readStrapPacket(new Uint8Array(value.buffer, value.byteOffset, value.byteLength));
    if (!packet.ok) return;
    const at = this.#now();
    this.#heard = performance.now();
    this.#samples = [...this.#samples.filter((sample) => at - sample.at < KEPT), { at, packet: packet.value }];
    this.latest = packet.value;
  }
}

function whyNot(cause: Error): string {
  if (cause.name === 'NotFoundError') return 'No strap was chosen. Is it worn, wet and awake? Choose again, or type the pulse.';
  if (cause.name === 'SecurityError' || cause.name === 'NotAllowedError') return 'Choosing a strap was not allowed here. Type the pulse.';
  return `No strap could be chosen (${cause.message}). Type the pulse.`;
}

const straps = new Map<string, Strap>();
/** The strap of a session in this window; the same one in every phase. */
export function strapOf(session: string, now: () => number): Strap {
  let strap = straps.get(session);
  if (!strap) {
    // A person who takes a strap to the next session chooses it there again.
    for (const [other, held] of straps) {
      held.forget();
      straps.delete(other);
    }
    strap = new Strap(session, now);
    straps.set(session, strap);
  }
  return strap;
}

function recall(): string | undefined {
  try {
    return sessionStorage.getItem(HELD) ?? undefined;
  } catch {
    return undefined;
  }
}
function remember(held: string | undefined): void {
  try {
    if (held === undefined) sessionStorage.removeItem(HELD);
    else sessionStorage.setItem(HELD, held);
  } catch {
    // A window without storage works; loaded again, it asks for the strap once more.
  }
}
