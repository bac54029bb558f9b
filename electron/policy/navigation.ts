/** Electron's security checklist, items 12 to 14: the window goes nowhere, opens nothing, holds no foreign view. */
import { isOurs, WINDOW_ADDRESS } from './address.ts';

/** Whether the page may be replaced by this address: only by itself (a reload). Its parts are chosen by the fragment. */
export function mayNavigate(address: string): boolean {
  if (!isOurs(address)) return false;
  const { pathname } = new URL(address);
  return pathname === new URL(WINDOW_ADDRESS).pathname || pathname === '/index.html';
}

/** What a page gets that asks for a new window. Windows are opened by the main process alone. */
export const newWindowAnswer = { action: 'deny' } as const;
