/** Electron's security checklist, item 17: who sent a message is checked for every message. */
import type { WebFrameMain } from 'electron';
import { isOurs } from './address.ts';

type Frame = Pick<WebFrameMain, 'url' | 'parent' | 'detached'>;

/** @returns why the sender is refused; undefined for the live top frame of our own window. */
export function refuseSender(frame: Frame | null): string | undefined {
  if (frame === null || frame.detached) return 'the sending page is gone';
  if (frame.parent !== null) return 'a frame inside the page may not speak to the station';
  if (!isOurs(frame.url)) return 'another page may not speak to the station';
  return undefined;
}
