/**
 * Who may speak to the loopback server. It listens on 127.0.0.1 alone; these checks keep out other pages in the same
 * browser (Host, Origin, Sec-Fetch-Site) and other people's programs on the same machine (the token).
 */
import { createHash, timingSafeEqual } from 'node:crypto';

export interface RequestFacts {
  readonly host: string | undefined;
  readonly origin: string | undefined;
  readonly fetchSite: string | undefined;
}

/**
 * @returns why the request is refused; undefined when it may pass. A program that is no browser sends neither Origin nor
 *   Sec-Fetch-Site, and passes here; the token decides about it.
 */
export function refuseRequest({ host, origin, fetchSite }: RequestFacts, port: number): string | undefined {
  const own = `127.0.0.1:${port}`;
  // Another name for this machine would let a page on that name read the answers (DNS rebinding).
  if (host !== own) return `Open http://${own} instead.`;
  if (origin !== undefined && origin !== `http://${own}`) return 'Another page may not speak to the station.';
  // "none" is the person typing the address; "cross-site" and "same-site" (another port) are other pages.
  if (fetchSite !== undefined && fetchSite !== 'same-origin' && fetchSite !== 'none') return 'Another page may not speak to the station.';
  return undefined;
}

/** Compares without telling by its duration how much was right. */
export function isToken(given: string | undefined, token: string): boolean {
  if (given === undefined) return false;
  const digest = (text: string): Buffer => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(given), digest(token));
}
