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
  #writing: string | undefined;

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
   * Writes what was typed. The decision is made at once, so that the next key already goes to the next field; the writing
   * goes on behind it. An unusual value is asked about once on Enter; leaving the field keeps it, and the remark stays.
   * @returns whether the person may move on.
   */
  commit(by: 'enter' | 'leaving'): boolean {
    if (this.#draft === undefined) return true;
    const text = this.#draft.trim();
    if (text === this.#writing) return true;
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
    void this.#write(text);
    return true;
  }

  async #write(text: string): Promise<void> {
    this.#writing = text;
    const written = await this.#rules.write(text);
    this.#writing = undefined;
    // Typed on meanwhile: that is written when it is left.
    if (this.#draft?.trim() !== text) return;
    if (written.ok) this.#draft = undefined;
    else this.#refused = written.error.message;
  }

  /** Back to what the record says. */
  forget(): void {
    this.#draft = undefined;
    this.#refused = undefined;
    this.#asked = false;
  }
}
