/**
 * Electron's security checklist, item 5: permissions, when asked for and when looked up, denied unless they are here.
 * (Without both handlers Electron grants everything.)
 */
import { isOurs } from './address.ts';

/** Keeping the screen awake during a test, and writing to the clipboard at the person's own click. */
const granted: ReadonlySet<string> = new Set(['screen-wake-lock', 'clipboard-sanitized-write']);

/** @param permission Electron's name of it. @param address the page that asks. */
export function mayHave(permission: string, address: string): boolean {
  return isOurs(address) && granted.has(permission);
}

/** Electron's name for choosing a device, as the device handler gets it. The heart-rate strap is chosen by its own event. */
export function mayChooseDevice(deviceType: string, address: string): boolean {
  return isOurs(address) && deviceType === 'bluetooth';
}
