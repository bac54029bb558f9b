/** Electron's security checklist, item 14: what the one window is that a page may ask for, and where it stands. */
import type { BrowserWindowConstructorOptions } from 'electron';
import { WINDOW_ADDRESS } from './address.ts';
import { windowOptions } from './window-options.ts';

/** Only our own page, on one session; the contract has checked that the session is a plain record's id. */
export function wallAddress(session: string): string {
  return `${WINDOW_ADDRESS}#/wall/${encodeURIComponent(session)}`;
}

export interface Display {
  readonly id: number;
  readonly workArea: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
}

/** The same guards as every window; on the other screen, filling it, where there is one. */
export function wallOptions(preload: string, displays: readonly Display[], recordersDisplay: number | undefined): BrowserWindowConstructorOptions {
  const other = displays.find(({ id }) => id !== recordersDisplay);
  return {
    ...windowOptions(preload),
    title: 'Stagecall: second window',
    width: 1280,
    height: 720,
    minWidth: 640,
    minHeight: 360,
    ...(displays.length > 1 && other ? other.workArea : {}),
  };
}
