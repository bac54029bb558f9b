/**
 * From the second window to the recorder's: which number was pointed at, and whatever is typed there by mistake, so that the keys
 * are the recorder's whichever window is in front. Between windows of one program on one machine, by the browser's own
 * channel; nothing of it is kept.
 */
const channelOf = (session: string): string => `stagecall-wall-${session}`;

export interface PressedThere {
  readonly key: string;
  readonly code: string;
  readonly ctrlKey: boolean;
  readonly altKey: boolean;
  readonly shiftKey: boolean;
  readonly metaKey: boolean;
  readonly repeat: boolean;
}
type Message = { readonly point: number } | { readonly press: PressedThere } | { readonly front: boolean };

export interface WallListener {
  /** RPE, 6 to 20. */
  pointed(number: number): void;
  pressed(press: PressedThere): void;
  /** The second window has come to the front, or gone from it. */
  front(state: boolean): void;
}

/** Listens in the recorder's window. @returns how to stop. */
export function listenToWall(session: string, listener: WallListener): () => void {
  if (typeof BroadcastChannel === 'undefined') return () => {};
  const channel = new BroadcastChannel(channelOf(session));
  channel.addEventListener('message', ({ data }: MessageEvent<Message>) => {
    // RPE is a whole number from 6 to 20; anything else that comes over the channel is left alone.
    if ('point' in data && Number.isInteger(data.point) && data.point >= 6 && data.point <= 20) listener.pointed(data.point);
    else if ('press' in data) listener.pressed(data.press);
    else if ('front' in data) listener.front(data.front === true);
  });
  return () => channel.close();
}

/** Speaks from the second window. */
export function wallSpeaker(session: string): { say(message: Message): void; close(): void } {
  const channel = typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel(channelOf(session));
  return {
    // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a channel of this origin, not a window
    say: (message) => channel?.postMessage(message),
    close: () => channel?.close(),
  };
}

export function pressOf({ key, code, ctrlKey, altKey, shiftKey, metaKey, repeat }: KeyboardEvent): PressedThere {
  return { key, code, ctrlKey, altKey, shiftKey, metaKey, repeat };
}
