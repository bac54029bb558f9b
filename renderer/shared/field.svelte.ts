/** One line of the head of the sheet: what stands in the record, what is being typed, and what is to be said about it. */
import type { Result } from '../../core/result.ts';

/** What the line's reader makes of a text. */
export type Read =
  | { readonly ok: true; readonly understood?: string; readonly ask?: string }
  | { readonly ok: false; readonly message: string };

interface Rules {
  /** What the record says now; empty where it says nothing. */
  recorded(): string;
  read(text: string): Read;
  /** Writes the text to the record. */
  write(text: string): Promise<Result<unknown>>;
}

export class Field {
  readonly #rules: Rules;
  /** Set while what stands in the field is not what stands in the record. */
  #draft = $state<string | undefined>(undefined);
  /** Why the draft was not written. */
  #refused = $state<string | undefined>(undefined);
  #asked = $state(false);
  saving = $state(false);

  constructor(rules: Rules) {
    this.#rules = rules;
  }

  get text(): string {
    return this.#draft ?? this.#rules.recorded();
  }
  set text(typed: string) {
    this.#draft = typed;
    this.#refused = undefined;
    this.#asked = false;
  }

  readonly reading = $derived.by(() => this.#rules.read(this.text));
  /** Nothing is said about a field while it is being typed in, unless it was refused or asked about. */
  readonly isInvalid = $derived(this.#refused !== undefined);
  readonly isUnsaved = $derived(this.#draft !== undefined);
  readonly message = $derived.by((): { readonly text: string; readonly level: 'refused' | 'ask' | 'remark' } | undefined => {
    if (this.#refused !== undefined) return { text: this.#refused, level: 'refused' };
    const { reading } = this;
    if (!reading.ok || reading.ask === undefined) return undefined;
    if (this.#draft === undefined) return { text: reading.ask.replace(/ Enter again to keep it\.$/, ''), level: 'remark' };
    return this.#asked ? { text: reading.ask, level: 'ask' } : undefined;
  });
  readonly understood = $derived(this.reading.ok ? this.reading.understood : undefined);

  /**
   * Writes what was typed. An unusual value is asked about once on Enter; leaving the field keeps it, and the remark stays.
   * @returns whether the person may move on.
   */
  async commit(by: 'enter' | 'leaving'): Promise<boolean> {
    if (this.#draft === undefined) return true;
    const text = this.#draft.trim();
    if (text === this.#rules.recorded().trim()) {
      this.#draft = undefined;
      return true;
    }
    const reading = this.#rules.read(text);
    if (!reading.ok) {
      this.#refused = reading.message;
      return false;
    }
    if (reading.ask !== undefined && by === 'enter' && !this.#asked) {
      this.#asked = true;
      return false;
    }
    this.saving = true;
    const written = await this.#rules.write(text);
    this.saving = false;
    if (!written.ok) {
      this.#refused = written.error.message;
      return false;
    }
    // Typed on while it was being written: that stays to be written next.
    if (this.#draft?.trim() === text) this.#draft = undefined;
    return true;
  }

  /** Back to what the record says. */
  forget(): void {
    this.#draft = undefined;
    this.#refused = undefined;
    this.#asked = false;
  }
}
