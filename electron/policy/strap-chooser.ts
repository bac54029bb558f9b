/**
 * Which strap, where the shell has no chooser of its own (Electron). A person always chooses: the pair beside may wear one too.
 * Pure; Electron's event only feeds it.
 */
export interface StrapFound {
  readonly deviceId: string;
  readonly deviceName: string;
}

export type ChooserStep =
  /** Go on listening. */
  | { readonly do: 'wait' }
  /** Ask the person, with these buttons; the last two search on and leave. */
  | { readonly do: 'ask'; readonly straps: readonly StrapFound[]; readonly buttons: readonly string[] }
  /** Give up: the page hears that no strap was chosen. */
  | { readonly do: 'give-up' };

/** After the first strap is heard, others near by are waited for; straps make themselves heard about once a second. */
export const COLLECT_MS = 2_500;
/** Nothing heard for so long: it is not worn, or asleep. */
export const NOTHING_MS = 20_000;
/** More do not fit a message box; the person moves away from the others. */
const MOST = 6;
export const SEARCH_ON = 'Search on';
export const LEAVE = 'No strap';

/**
 * @param found the straps heard so far, as Electron lists them; @param sinceFirst milliseconds since the first was heard, undefined
 *   while there is none; @param since milliseconds since the search began.
 */
export function chooserStep(found: readonly StrapFound[], sinceFirst: number | undefined, since: number): ChooserStep {
  if (found.length === 0 || sinceFirst === undefined) return since >= NOTHING_MS ? { do: 'give-up' } : { do: 'wait' };
  if (sinceFirst < COLLECT_MS) return { do: 'wait' };
  const straps = [...new Map(found.map((strap) => [strap.deviceId, strap])).values()].slice(0, MOST);
  return { do: 'ask', straps, buttons: [...straps.map(nameOf), SEARCH_ON, LEAVE] };
}

/** Names come over the air: shortened, on one line. Two of the same name are told apart by the end of their addresses. */
function nameOf(strap: StrapFound, _index: number, all: readonly StrapFound[]): string {
  const plain = ({ deviceName }: StrapFound): string => deviceName.replace(/[\p{C}\s]+/gu, ' ').trim().slice(0, 40) || 'Strap without a name';
  const name = plain(strap);
  return all.filter((other) => plain(other) === name).length > 1 ? `${name} (${strap.deviceId.slice(-5)})` : name;
}

/** @returns the strap of the pressed button; `again` to search on; undefined to leave. */
export function chosenStrap(straps: readonly StrapFound[], button: number): StrapFound | 'again' | undefined {
  return straps[button] ?? (button === straps.length ? 'again' : undefined);
}
