/** What stands on the page of this station: its profile as text, and what the station said when it was saved. */
import { exampleProfile } from '../../core/profile/example.ts';
import type { App } from '../app/app.svelte.ts';
import { base64OfText } from '../shared/base64.ts';

export interface Answered {
  readonly ok: boolean;
  readonly text: string;
  /** Line by line, where the profile has faults. */
  readonly problems: readonly string[];
}

export class StationPage {
  readonly #app: App;
  /** What stands in the field. */
  text = $state('');
  /** What the station holds. */
  saved = $state('');
  isReady = $state(false);
  answered = $state.raw<Answered | undefined>(undefined);
  /** A save waits for the instructor's passphrase. */
  locked = $state(false);
  readonly isChanged = $derived.by(() => this.text.trim() !== this.saved.trim());

  constructor(app: App) {
    this.#app = app;
    void this.read();
  }

  async read(): Promise<void> {
    const answer = await this.#app.station.api.call('profile.read', {});
    this.isReady = true;
    if (!answer.ok) {
      this.answered = { ok: false, text: answer.error.message, problems: [] };
      return;
    }
    this.saved = answer.value.text;
    if (this.text === '') this.text = answer.value.text;
    if (answer.value.problems.length > 0) this.answered = { ok: false, text: 'The profile of this station cannot be used. The station goes on without it.', problems: answer.value.problems };
  }

  begin(): void {
    this.text = exampleProfile;
    this.answered = undefined;
  }

  /** Takes a file that was carried here; it is looked at, and saved only when somebody says so. */
  async take(file: File): Promise<void> {
    this.answered = undefined;
    if (file.size > 200_000) this.answered = { ok: false, text: `${file.name} is too large for a station profile. Nothing was taken from it.`, problems: [] };
    else this.text = await file.text();
  }

  async save(unlock?: string): Promise<void> {
    this.locked = false;
    const answer = await this.#app.station.api.call('profile.save', { text: this.text, ...(unlock === undefined ? {} : { unlock }) });
    if (!answer.ok && answer.error.code === 'passphrase-needed') {
      this.locked = true;
      return;
    }
    if (!answer.ok) {
      const problems = Array.isArray(answer.error.details) ? answer.error.details.map(String) : [];
      this.answered = { ok: false, text: problems.length > 0 ? 'Not saved. The profile that was there before is kept.' : answer.error.message, problems };
      return;
    }
    this.saved = this.text;
    this.answered = { ok: true, text: this.text.trim() === '' ? 'This station has no profile now.' : 'Saved. Every window of this station uses it from now on.', problems: [] };
  }

  /** The file that an instructor carries to the next machine. */
  async carry(): Promise<void> {
    const answer = await this.#app.saveFile({ name: 'station-profile.yaml', mime: 'application/yaml', base64: base64OfText(this.saved) });
    this.answered = answer.ok ? { ok: true, text: answer.value.saved ? `station-profile.yaml was saved${answer.value.where === undefined ? ' with the downloads' : `: ${answer.value.where}`}.` : 'Nothing was saved.', problems: [] } : { ok: false, text: answer.error.message, problems: [] };
  }
}
