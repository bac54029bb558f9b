/**
 * From the second window to the recorder's: which number was pointed at. Between windows of one program on one machine,
 * by the browser's own channel; nothing of it is kept, and nothing is written until the recorder accepts it.
 */
const channelOf = (session: string): string => `stagecall-wall-${session}`;

/** RPE is a whole number from 6 to 20; anything else that comes over the channel is left alone. */
const isNumber = (message: unknown): message is number => typeof message === 'number' && Number.isInteger(message) && message >= 6 && message <= 20;

/** Listens in the recorder's window. @returns how to stop. */
export function pointedAt(session: string, heard: (number: number) => void): () => void {
  if (typeof BroadcastChannel === 'undefined') return () => {};
  const channel = new BroadcastChannel(channelOf(session));
  channel.addEventListener('message', ({ data }) => {
    if (isNumber(data)) heard(data);
  });
  return () => channel.close();
}

/** Speaks from the second window. */
export function pointer(session: string): { point(number: number): void; close(): void } {
  const channel = typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel(channelOf(session));
  return {
    // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a channel of this origin, not a window
    point: (number) => channel?.postMessage(number),
    close: () => channel?.close(),
  };
}
