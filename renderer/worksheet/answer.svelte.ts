/** One answer of a worksheet: what was typed, in which unit, with which working. Saved while one pauses and when one leaves. */
import type { Result } from '../../core/result.ts';
import type { Attempt } from '../../core/worksheet/fold.ts';

interface Rules {
  /** The attempt that stands in the record. */
  standing(): Attempt | undefined;
  write(answer: { readonly typed: string; readonly unit?: string; readonly working?: string; readonly draft?: boolean }): Promise<Result<unknown>>;
  /** Milliseconds of pause after which what stands there is saved. */
  readonly pause: number;
}
type Part = 'typed' | 'unit' | 'working';

/** As the record takes them (core/worksheet/events.ts). */
const LONGEST: Readonly<Record<Part, number>> = { typed: 20_000, unit: 40, working: 20_000 };

export class Answer {
  readonly #rules: Rules;
  #drafts = $state<Partial<Record<Part, string>>>({});
  #refused = $state<string | undefined>(undefined);
  #saving = $state(false);
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(rules: Rules) {
    this.#rules = rules;
  }

  get typed(): string {
    return this.#drafts.typed ?? this.#rules.standing()?.typed ?? '';
  }
  set typed(text: string) {
    this.#set('typed', text);
  }
  get unit(): string {
    return this.#drafts.unit ?? this.#rules.standing()?.unit ?? '';
  }
  set unit(text: string) {
    this.#set('unit', text);
  }
  get working(): string {
    return this.#drafts.working ?? this.#rules.standing()?.working ?? '';
  }
  set working(text: string) {
    this.#set('working', text);
  }

  readonly isEmpty = $derived(this.typed.trim() === '');
  readonly refused = $derived(this.#refused);
  /** In the record as it stands here; only said of something that was typed. */
  readonly isSaved = $derived(Object.keys(this.#drafts).length === 0 && !this.#saving);

  /** Chooses an answer; a choice is saved at once. */
  choose(text: string): void {
    this.typed = text;
    void this.save();
  }

  /**
   * Saves what is not in the record yet. Called on leaving, by the pause, and when the station was found again.
   * @param draft saved in a pause of typing: kept, and no attempt of its own. Leaving the field makes it one.
   */
  async save(draft = false): Promise<void> {
    clearTimeout(this.#timer);
    if (this.#saving) return;
    const becomesAttempt = !draft && this.#rules.standing()?.draft === true;
    if (!this.#differs() && !becomesAttempt) return;
    const sent = { ...$state.snapshot(this.#drafts) };
    const long = (Object.keys(LONGEST) as Part[]).find((part) => this[part].length > LONGEST[part]);
    if (long !== undefined) {
      this.#refused = `Too long to save: ${LONGEST[long].toLocaleString('en-GB')} characters fit. What was saved before is kept.`;
      return;
    }
    const { typed, unit, working } = this;
    this.#saving = true;
    const written = await this.#rules.write({ typed, ...(unit === '' ? {} : { unit }), ...(working === '' ? {} : { working }), ...(draft ? { draft } : {}) });
    this.#saving = false;
    this.#refused = written.ok ? undefined : written.error.message;
    if (!written.ok) return;
    // What was typed on meanwhile stays to be saved.
    for (const part of Object.keys(sent) as Part[]) if (this.#drafts[part] === sent[part]) delete this.#drafts[part];
    if (this.#differs()) this.#wait();
  }

  #set(part: Part, text: string): void {
    this.#drafts[part] = text;
    this.#refused = undefined;
    this.#wait();
  }

  #wait(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.save(true), this.#rules.pause);
  }

  #differs(): boolean {
    const standing = this.#rules.standing();
    const differs = this.typed !== (standing?.typed ?? '') || this.unit !== (standing?.unit ?? '') || this.working !== (standing?.working ?? '');
    if (!differs && Object.keys(this.#drafts).length > 0) this.#drafts = {};
    return differs;
  }
}
