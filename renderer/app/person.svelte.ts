/** Who sits at this window, and how they like it. Kept by the browser profile, never in a record. */
const INITIALS = 'stagecall-initials';
const SINGLE_KEYS = 'stagecall-single-keys';
const SHEET = 'stagecall-lab-sheet';

export class Person {
  #initials = $state(read(INITIALS) ?? '');
  #singleKeys = $state(read(SINGLE_KEYS) !== 'off');

  /** Initials of who writes here; empty until given. */
  get initials(): string {
    return this.#initials;
  }
  set initials(typed: string) {
    this.#initials = typed.trim().slice(0, 12);
    write(INITIALS, this.#initials);
  }

  /** The lab sheet that was chosen last; empty until one was. */
  get sheet(): string {
    return read(SHEET) ?? '';
  }
  set sheet(id: string) {
    write(SHEET, id);
  }

  /** Whether single letters and signs work as keys on lists (WCAG 2.1.4: they can be turned off). */
  get singleKeys(): boolean {
    return this.#singleKeys;
  }
  set singleKeys(on: boolean) {
    this.#singleKeys = on;
    write(SINGLE_KEYS, on ? 'on' : 'off');
  }
}

function read(key: string): string | undefined {
  try {
    return localStorage.getItem(key) ?? undefined;
  } catch {
    return undefined;
  }
}
function write(key: string, value: string): void {
  try {
    localStorage.setItem(key, value);
  } catch {
    // A window without storage works; it only forgets.
  }
}
