/** The sessions on this station, the lab sheets it has, and opening a new session. */
import type { SessionSummary, SheetListing } from '../../core/contract/contract.ts';
import type { Failure } from '../../core/result.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import type { App } from '../app/app.svelte.ts';
import { phaseNames, wayName } from '../app/session-words.ts';
import { wallText } from '../shared/wall-text.ts';
import { rehearsalOf, type Rehearsal } from './rehearsals.ts';

/** A session as the list shows it. */
export interface SessionLine {
  readonly id: string;
  readonly participant: string;
  readonly named: boolean;
  readonly sheet: string;
  readonly way: string;
  readonly live: boolean;
  readonly phase: string;
  /** A test that is running, or a person who has not left yet. */
  readonly running: boolean;
  readonly began: string;
  readonly worksheets: readonly { readonly id: string; readonly student: string; readonly handedIn: boolean }[];
  readonly readOnly?: string;
}

export type Way = 'live' | 'paper' | 'rehearsal' | 'practice';

export class Sessions {
  readonly #app: App;
  #list = $state.raw<readonly SessionSummary[] | undefined>(undefined);
  #sheets = $state.raw<readonly SheetListing[] | undefined>(undefined);
  failed = $state.raw<Failure | undefined>(undefined);
  /** Why the last attempt to open a session came to nothing. */
  refused = $state<string | undefined>(undefined);
  opening = $state(false);
  #chosen = $state<string | undefined>(undefined);
  readonly #remembered: string;

  readonly isReady = $derived(this.#list !== undefined && this.#sheets !== undefined);
  readonly lines = $derived((this.#list ?? []).map(lineOf));
  readonly isEmpty = $derived(this.#list?.length === 0);
  readonly sheets = $derived(this.#sheets ?? []);
  readonly usable = $derived(this.sheets.filter((sheet) => sheet.problems.length === 0));
  /** The one chosen here, else the one chosen last, else a treadmill test: what a newcomer has most likely heard of. */
  readonly chosen = $derived(this.usable.find((sheet) => sheet.id === (this.#chosen ?? this.#remembered)) ?? this.usable.find((sheet) => sheet.mode === 'treadmill') ?? this.usable[0]);
  /** The usable lab sheets as read by the station's own loader, which is loaded after the first screen. */
  #read = $state.raw<ReadonlyMap<string, LabSheet>>(new Map());
  readonly sheet = $derived(this.chosen && this.#read.get(this.chosen.id));
  readonly sheetFacts = $derived(this.sheet && factsOf(this.sheet));

  constructor(app: App) {
    this.#app = app;
    this.#remembered = app.person.sheet;
  }

  async refresh(): Promise<void> {
    const { api } = this.#app.station;
    const [sessions, sheets] = await Promise.all([
      api.call('sessions.list', {}),
      this.#sheets === undefined ? api.call('sheets.list', {}) : undefined,
    ]);
    if (!sessions.ok) this.failed = sessions.error;
    else if (sheets && !sheets.ok) this.failed = sheets.error;
    else {
      this.failed = undefined;
      this.#list = sessions.value;
      if (!sheets) return;
      this.#sheets = sheets.value;
      await this.#readSheets();
    }
  }

  async #readSheets(): Promise<void> {
    // The list can be used at once; reading the sheets for the panel beside it is a tenth of a second's work.
    await new Promise((resolve) => requestIdleCallback(resolve, { timeout: 1_000 }));
    const { loadSheet } = await import('../../core/sheet/load.ts');
    this.#read = new Map(
      this.usable.flatMap((listing) => {
        const loaded = loadSheet(listing.text, listing.id);
        return loaded.ok ? [[listing.id, loaded.sheet] as const] : [];
      }),
    );
  }

  choose(sheet: string): void {
    this.#chosen = sheet;
    this.#app.person.sheet = sheet;
  }

  /** Opens a session on the chosen lab sheet and goes there. */
  async open(way: Way): Promise<void> {
    const { chosen } = this;
    if (this.opening) return;
    if (!chosen) {
      this.refused = 'There is no lab sheet that can be used. Put one in the folder lab-sheets and start again.';
      return;
    }
    const { person, station, router } = this.#app;
    const rehearsal: Rehearsal | undefined = rehearsalOf(way);
    const author = person.initials === '' ? (rehearsal ? 'guest' : '') : person.initials;
    if (author === '') {
      this.refused = 'Your initials first: every entry carries them.';
      return;
    }
    this.opening = true;
    this.refused = undefined;
    const opened = await station.api.call('session.open', {
      command: crypto.randomUUID(),
      author,
      sheet: chosen.id,
      way: rehearsal ? 'rehearsal' : way === 'paper' ? 'paper' : 'live',
      ...(rehearsal ? { rehearsal } : {}),
    });
    this.opening = false;
    if (!opened.ok) this.refused = opened.error.message;
    else router.go({ screen: 'session', session: opened.value.session });
  }
}

function lineOf(session: SessionSummary): SessionLine {
  return {
    id: session.id,
    participant: session.participant ?? 'no code yet',
    named: session.participant !== undefined,
    sheet: session.sheetTitle,
    way: wayName(session.way),
    live: session.way === 'live',
    phase: phaseNames[session.phase],
    running: session.phase === 'exercise' || session.phase === 'recovery',
    began: wallText(session.openedWall),
    worksheets: session.worksheets,
    ...(session.readOnly === undefined || session.phase === 'worksheet' ? {} : { readOnly: session.readOnly }),
  };
}

const modes: Readonly<Record<LabSheet['mode'], string>> = {
  treadmill: 'Treadmill',
  cycle: 'Cycle ergometer',
  'arm-crank': 'Arm crank',
  step: 'Step',
  field: 'Field test',
};

/** A lab sheet's first facts: "Treadmill", "Maximal", "10 stages of 3:00", "10 questions, 50 marks". */
function factsOf(sheet: LabSheet): readonly string[] {
  const marks = sheet.questions.reduce((sum, question) => sum + question.marks, 0);
  return [
    modes[sheet.mode],
    sheet.kind === 'maximal' ? 'maximal' : 'submaximal',
    `${sheet.stages.list.length} stages of ${sheet.stages.length}`,
    `${sheet.questions.length} questions, ${marks} marks`,
  ];
}
