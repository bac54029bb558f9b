/**
 * The window's side of the loopback shell. It outlives its station: while the station is being started again it waits,
 * and then sends what was not answered once more, under the same command ids, so that nothing is lost or doubled.
 */
import type { CommandName, InputOf, OutputOf, RecordChange, StationApi } from '../../core/contract/contract.ts';
import { failure, type Result } from '../../core/result.ts';
import { plainCopy } from './plain-copy.ts';

export interface LoopbackClientOptions {
  /** `http://127.0.0.1:27843` */
  readonly address: string;
  readonly token: string;
  readonly fetch?: typeof fetch;
}

type Listener = Parameters<StationApi['subscribe']>[0];

/** The server writes a line each second; this long without one and the station is taken for lost. */
const SILENT_MS = 4_000;
/** Waits between attempts: short at first, since a station is back within half a second, then a second for as long as it takes. */
const waitMs = (attempt: number): number => (attempt < 30 ? 50 : attempt < 50 ? 200 : 1_000);
/** The station takes at most 4 MB of a record at once (desk files apart). */
const LARGEST = 4 * 1024 * 1024;

/** Commands that write keep the order in which they were given. */
const inOrder: ReadonlySet<CommandName> = new Set<CommandName>(['session.open', 'record.append', 'rehearsal.rate', 'worksheet.open']);

export function loopbackClient(options: LoopbackClientOptions): StationApi & { close(): void } {
  const send = options.fetch ?? ((...args: Parameters<typeof fetch>) => fetch(...args));
  const listeners = new Set<Listener>();
  const closing = new AbortController();
  let connected: boolean | undefined;
  let last: Promise<unknown> = Promise.resolve();
  const pausing = new Set<() => void>();

  const tellConnected = (state: boolean): void => {
    if (connected === state) return;
    connected = state;
    if (state) for (const goOn of pausing) goOn();
    for (const listener of listeners) listener.connected(state);
  };

  /** A pause that ends early when the station is heard again. */
  const pause = (attempt: number): Promise<void> =>
    new Promise((resolve) => {
      const goOn = (): void => {
        clearTimeout(timer);
        pausing.delete(goOn);
        resolve();
      };
      const timer = setTimeout(goOn, waitMs(attempt));
      pausing.add(goOn);
    });

  async function callUntilAnswered<Name extends CommandName>(name: Name, body: string): Promise<Result<OutputOf<Name>>> {
    for (let attempt = 0; !closing.signal.aborted; attempt++) {
      try {
        const response = await send(`${options.address}/call/${name}`, {
          method: 'POST',
          headers: { 'content-type': 'application/json', 'x-stagecall-token': options.token },
          body,
          signal: closing.signal,
          cache: 'no-store',
        });
        // Refusals by the server itself are answers too; anything else that is no JSON is a station half gone.
        if (response.status === 403) return failure('refused', await response.text());
        const result = (await response.json()) as Result<OutputOf<Name>>;
        if (typeof result === 'object' && result !== null && 'ok' in result) return result;
      } catch {
        // not reached, or cut off before the answer: sent again below
      }
      await pause(attempt);
    }
    return failure('closed', 'The window is closing.');
  }

  async function listen(): Promise<void> {
    for (let attempt = 0; !closing.signal.aborted; attempt++) {
      const heard = await listenOnce();
      if (heard) attempt = 0;
      if (closing.signal.aborted) return;
      tellConnected(false);
      await pause(attempt);
    }
  }

  /** @returns whether anything was heard. */
  async function listenOnce(): Promise<boolean> {
    const silence = new AbortController();
    let timer = setTimeout(() => silence.abort(), SILENT_MS);
    let heard = false;
    try {
      const response = await send(`${options.address}/changes`, {
        headers: { 'x-stagecall-token': options.token },
        signal: AbortSignal.any([closing.signal, silence.signal]),
        cache: 'no-store',
      });
      if (!response.ok || !response.body) return false;
      const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
      let rest = '';
      for (;;) {
        const { done, value } = await reader.read();
        if (done) return heard;
        clearTimeout(timer);
        timer = setTimeout(() => silence.abort(), SILENT_MS);
        heard = true;
        tellConnected(true);
        const lines = (rest + value).split('\n');
        rest = lines.pop() ?? '';
        for (const line of lines) tellChange(JSON.parse(line) as { change?: RecordChange });
      }
    } catch {
      return heard;
    } finally {
      clearTimeout(timer);
    }
  }

  function tellChange({ change }: { readonly change?: RecordChange }): void {
    if (change) for (const listener of listeners) listener.changed(change);
  }

  let listening = false;
  return {
    async call<Name extends CommandName>(name: Name, input: InputOf<Name>): Promise<Result<OutputOf<Name>>> {
      const body = JSON.stringify(plainCopy(input));
      if (name !== 'desk.mark' && body.length > LARGEST)
        return failure('too-large', 'Not saved: it is too large. Everything before it was kept. Shorten it and send it again.');
      if (!inOrder.has(name)) return callUntilAnswered(name, body);
      const answer = last.then(() => callUntilAnswered(name, body));
      last = answer;
      return answer;
    },
    subscribe(listener) {
      listeners.add(listener);
      if (!listening) {
        listening = true;
        void listen();
      } else if (connected !== undefined) {
        const state = connected;
        queueMicrotask(() => listeners.has(listener) && listener.connected(state));
      }
      return () => listeners.delete(listener);
    },
    close: () => closing.abort(),
  };
}
