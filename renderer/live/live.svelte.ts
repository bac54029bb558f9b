/**
 * The live sheet's state: the record folded, the entry line, what is aimed at and what is asked.
 * It stamps nothing and computes nothing of its own: core says what is due, where a number goes and whether it may stand.
 */
import type { StationApi } from '../../core/contract/contract.ts';
import { callsAt, type Call } from '../../core/session/calls.ts';
import { STOP_CAN_BE_TAKEN_BACK } from '../../core/session/decide.ts';
import { slotKey, type SessionDraft, type Slot } from '../../core/session/events.ts';
import { openHolds } from '../../core/session/holds.ts';
import { placeText } from '../../core/session/entry-line.ts';
import { columnsOf, sheetRows, type Column, type SheetRow } from '../../core/session/rows.ts';
import { planWords } from '../../core/session/plan-words.ts';
import { recoveryAt, restingValue } from '../../core/recovery/tracker.ts';
import { plannedSettings } from '../../core/session/stages.ts';
import type { Settings } from '../../core/session/state.ts';
import type { Result } from '../../core/result.ts';
import { formatClock } from '../../core/clock-text.ts';
import type { Gait } from '../../core/vocabulary.ts';
import type { SessionFeed } from '../app/record-feed.svelte.ts';
import type { StationProfile } from '../../core/profile/schema.ts';
import { machineFor, nearestSettable } from '../../core/profile/machine.ts';
import { aimedAt, step } from './aim.ts';
import { alertsNow, bigAlert, endPointCall, toldDrafts } from './alert-view.ts';
import { viewOfCall } from './call-view.ts';
import type { Direction, KeyAction } from './keys.ts';
import { Offers } from './offers.svelte.ts';
import type { PressedThere } from '../wall/pointing.ts';
import { Awake } from './awake.svelte.ts';
import { readLine, type LineReading } from './line.ts';
import { Outbox } from './outbox.svelte.ts';
import { notTakenNow, slotsInWords, viewOf, type Asking } from './questions.ts';
import { columnsUpToLast, comparisonOf, currentRow, diskWords, notesOf, recoveryFigures } from './sheet-words.ts';
import type { heardAt, participantSays } from '../../core/rehearsal/heard.ts';
import { RehearsalPace } from './rehearsal-pace.svelte.ts';
import { planOf, stageView } from './stage-view.ts';
import { marked, plannedSpeedUnit, settingsWords, speedWords, typedSettings, type Shown, type SpeedUnit } from './settings-text.ts';
import { undoLast } from './undo.ts';
import { recall, remember } from './remembered.ts';

export interface Said {
  readonly text: string;
  readonly tone: 'saved' | 'told' | 'refused';
}

export interface LiveOf {
  readonly api: StationApi;
  readonly feed: SessionFeed;
  readonly author: () => string;
  readonly onclosed: () => void;
  /** This station's profile, where it has one. */
  readonly profile?: () => StationProfile | undefined;
  /** Whether this window can reach a heart-rate strap. */
  readonly canStrap?: boolean;
  /** Opens the second window; undefined where there can be none. Says why it did not open. */
  readonly openWall?: (() => Promise<Result<{ readonly opened: boolean }>>) | undefined;
}

/** A second press within this time, real milliseconds, is a nervous finger and not the next stage. */
const TWICE = 1_000;
/** As long as the entry line takes. */
const LONGEST_LINE = 300;
/** What was said is shown so long while nothing is typed, in real milliseconds. */
const SHOWN_FOR = 6_000;
const SHOWN_FOR_SETTING = 20_000;
/** Backward steps of the drawn clock up to this come from the way of the messages, and are not shown. */
const JITTER = 500;

export class Live {
  readonly feed: SessionFeed;
  readonly outbox: Outbox;
  /** How fast a rehearsal runs. */
  readonly pace: RehearsalPace;
  readonly offers: Offers;
  /** Keeps the screen on during Exercise and Recovery. */
  readonly awake = new Awake();
  readonly #of: LiveOf;
  #latest = 0;

  /** What stands in the entry line. */
  line = $state('');
  asking = $state.raw<Asking | undefined>(undefined);
  /** Slot key of the cell that was chosen by hand. */
  aim = $state<string | undefined>(undefined);
  said = $state.raw<Said | undefined>(undefined);
  /** The text whose unusual value was asked about; Enter on the same text keeps it. */
  asked = $state<string | undefined>(undefined);
  /** The text that was refused at Enter; it stays in the line. */
  insisted = $state<string | undefined>(undefined);
  /** Slot keys of the readings acknowledged last, for a moment. */
  justSaved = $state.raw<readonly string[]>([]);
  emergency = $state(false);
  soundOn = $state(recall('live-sound') === 'on');
  connected = $state(true);
  /** This window's clock when the station was lost. */
  lostAt = $state<number | undefined>(undefined);
  #speedUnit = $state<string | undefined>(recall('speed-unit'));
  #changeMarked = -Infinity;
  #forget: ReturnType<typeof setTimeout> | undefined;
  #forgetSaved: ReturnType<typeof setTimeout> | undefined;
  readonly #stopListening: () => void;

  constructor(of: LiveOf) {
    this.#of = of;
    this.feed = of.feed;
    this.outbox = new Outbox({ api: of.api, session: of.feed.id, author: of.author, isThere: () => this.connected, accept: (slice) => this.feed.accept(slice) });
    this.pace = new RehearsalPace({ api: of.api, feed: of.feed, refused: (text) => this.tell(text, 'refused') });
    this.offers = new Offers({
      session: of.feed.id,
      canStrap: of.canStrap ?? false,
      clock: () => of.feed.now,
      state: () => this.state,
      calls: () => this.calls,
      second: () => this.second,
      send: ({ draft, says }) => void this.send([draft], says),
      tell: (text, tone) => this.tell(text, tone),
      press: (press) => this.pressedElsewhere(press),
    });
    this.#stopListening = of.api.subscribe({
      changed: () => {},
      connected: (state) => {
        this.connected = state;
        this.lostAt = state ? undefined : (this.lostAt ?? performance.now());
        if (state) this.outbox.again();
      },
    });
  }

  /** The simulated participant is fetched only where there is one. */
  async listen(): Promise<void> {
    if (this.#listen) return;
    const room = await import('../../core/rehearsal/heard.ts');
    this.#listen = room.heardAt;
    this.#says = room.participantSays;
  }

  close(): void {
    this.#stopListening();
    this.outbox.close();
    this.offers.close();
    this.awake.close();
    clearTimeout(this.#forget);
    clearTimeout(this.#forgetSaved);
  }

  readonly state = $derived.by(() => this.feed.state);

  /** Session time now, as drawn; it never runs backwards by a flicker. */
  get now(): number {
    const now = this.feed.now;
    this.#latest = now < this.#latest && this.#latest - now < JITTER ? this.#latest : now;
    return this.#latest;
  }
  /** The same, in whole seconds: what changes once a second is worked out once a second. */
  readonly second = $derived(Math.floor(this.now / 1000) * 1000);

  readonly phase = $derived(this.state?.phase ?? 'prepare');
  readonly isLost = $derived.by(() => !this.connected || this.outbox.lost);

  readonly speedUnit = $derived.by((): SpeedUnit => {
    if (this.#speedUnit === 'km/h' || this.#speedUnit === '[mi_i]/h') return this.#speedUnit;
    const preferred = this.profile?.units.speed;
    if (preferred !== undefined) return preferred === 'mph' ? '[mi_i]/h' : 'km/h';
    return plannedSpeedUnit(plannedSettings(this.state?.sheet.stages.list[0], this.state?.sex));
  });
  readonly profile = $derived.by(() => this.#of.profile?.());
  readonly decimalMark = $derived.by(() => (this.profile?.units['decimal-mark'] === 'comma' ? (',' as const) : undefined));
  readonly shown = $derived.by((): Shown => ({ speed: this.speedUnit, decimalMark: this.decimalMark, ...(this.profile?.units.load === undefined ? {} : { load: this.profile.units.load === 'W' ? 'W' as const : 'kgf.m/min' as const }) }));
  /** The machine of the profile that this session runs on. */
  readonly machine = $derived(this.state && machineFor(this.profile, this.state.sheet.mode, this.state.details.ergometer?.typed));
  readonly words = (settings: Settings): string => settingsWords(settings, this.shown);

  readonly calls = $derived(this.state === undefined || this.state.readOnly !== undefined ? [] : callsAt(this.state, this.now));
  /** What is only wanted if someone has it never pushes what is needed out of the big line. */
  readonly #ordered = $derived.by((): readonly Call[] => {
    const [wanted, extra] = [this.calls.filter((call) => !isExtra(call)), this.calls.filter(isExtra)];
    return this.phase === 'rest' ? [...wanted, ...extra] : [...wanted.slice(0, 1), ...[...wanted.slice(1), ...extra].sort((a, b) => a.due - b.due)];
  });
  readonly views = $derived(this.state === undefined ? [] : this.#ordered.slice(0, 5).map((call) => viewOfCall(this.state!, call.kind === 'set' ? { ...call, settings: nearestSettable(this.machine, call.settings).settings } : call, this.now, this.words)));
  /** The present call of the sheet's schedule. */
  readonly call = $derived(this.views[0]);
  /** What the numbers call for and nobody has answered. */
  readonly alerts = $derived(alertsNow(this.state, this.profile?.limits));
  readonly #big = $derived(bigAlert(this.alerts, this.call, this.second) ?? endPointCall(this.state, this.call));
  /** What the big line says. */
  readonly present = $derived(this.#big ?? this.call);
  readonly next = $derived(this.#big ? this.views.slice(0, 4) : this.views.slice(1));

  readonly rows = $derived(this.state === undefined ? [] : sheetRows(this.state, this.second, { speed: (value) => marked(speedWords(value, this.speedUnit), this.decimalMark) }));
  readonly columns = $derived.by((): readonly Column[] => {
    const { state } = this;
    if (!state) return [];
    // A column that the sheet only asks for if someone has it takes no room until someone does.
    const rules = [...state.sheet.rest.readings, ...state.sheet.exercise.readings, ...state.sheet.recovery.readings];
    const wanted = columnsOf(state).filter((column) => column === 'pressure' || rules.some((rule) => !rule.optional && rule.take.some((quantity) => quantity === column)));
    return columnsOf(state).filter((column) => wanted.includes(column) || [...state.slots.values()].some((slot) => slot.slot.quantity === column && slot.readings.length > 0));
  });

  readonly aimed = $derived(aimedAt(this.rows, this.aim));
  readonly askingView = $derived(this.state && this.asking && viewOf(this.state, this.asking, this.second));
  readonly reading = $derived.by((): LineReading => {
    if (!this.state) return { state: 'empty', says: '', drafts: [] };
    return readLine(this.state, { text: this.line, asking: this.asking, aimed: this.aimed?.slot, now: this.now, author: this.#of.author(), speedUnit: this.speedUnit, uptakeUnit: this.profile?.units['oxygen-uptake'] });
  });
  /** Where Enter would put what is typed. */
  readonly landing = $derived(this.reading.drafts.flatMap((draft) => (draft.kind === 'reading-taken' || draft.kind === 'reading-not-taken' ? [slotKey(draft.data.slot)] : [])));

  readonly holds = $derived(this.state && (this.phase === 'rest' || this.phase === 'prepare') ? openHolds(this.state) : []);
  /** The reason of the stop is still asked for. */
  readonly wantsReason = $derived(this.phase === 'recovery' && this.state?.stop !== undefined && this.state.stop.reason === undefined);
  /** What was noted as a symptom since exercise began, the latest. */
  readonly symptomSeen = $derived(this.state?.symptoms.findLast((noted) => noted.struck !== true && noted.taken >= (this.state?.starts.exercise ?? 0))?.text);
  /** Milliseconds for which the stop can still be taken back. */
  readonly takeBackLeft = $derived(this.state?.stop === undefined || this.phase !== 'recovery' ? 0 : Math.max(0, this.state.stop.taken + STOP_CAN_BE_TAKEN_BACK - this.now));
  readonly stopWaiting = $derived.by(() => this.outbox.waiting.find((waiting) => waiting.drafts.some((draft) => draft.kind === 'test-stopped')));

  /** A rehearsal in which the pair records: what is called out is shown. */
  readonly hears = $derived(this.state?.rehearsal?.records === false && this.state.readOnly === undefined);
  #listen = $state.raw<typeof heardAt | undefined>(undefined);
  #says = $state.raw<typeof participantSays | undefined>(undefined);
  /** What the simulated participant says now, also where the program records. */
  readonly participantSays = $derived.by(() => (this.state?.way === 'rehearsal' ? this.#says?.(this.state, this.second) : undefined));
  readonly heard = $derived.by(() => {
    if (!this.hears || !this.state) return [];
    return (this.#listen?.(this.state, this.second) ?? []).slice(-3);
  });

  readonly stage = $derived(this.state && stageView(this.state, this.now, this.shown, this.machine));
  readonly plan = $derived(this.state === undefined ? [] : planOf(this.state, this.shown, this.machine));
  readonly planRules = $derived.by(() => (this.state === undefined ? { rules: [] } : planWords(this.state.sheet, this.state.age, restingValue(this.state, 'heart-rate'))));
  readonly recovery = $derived(this.state?.starts.recovery === undefined ? undefined : recoveryAt(this.state, this.second));
  readonly comparison = $derived(this.state === undefined ? [] : comparisonOf(this.state));
  readonly heartRateRecovery = $derived(this.state === undefined ? [] : recoveryFigures(this.state, this.second));
  /** The row where things happen: of the open call, else the next one to come. */
  readonly currentRow = $derived(currentRow(this.rows, this.call, this.second, this.phase === 'worksheet'));
  readonly aimedWords = $derived(this.aimed === undefined ? '' : `${slotsInWords(this.aimed.cell.slots)}, ${placeText(this.aimed.slot)}: ${this.aimed.cell.text === '' ? 'type the value' : `${this.aimed.cell.text} stands; type to amend it`}${notesOf(this.aimed.row).length === 0 ? '' : ` (${notesOf(this.aimed.row).join('; ')})`}`);
  readonly disk = $derived.by(() => diskWords(this.feed.events, this.second, this.isLost, this.outbox.waiting.length));

  /** The columns of a row up to its last place; what is to the right of it is room for its notes. */
  columnsOf(row: SheetRow): readonly Column[] {
    return columnsUpToLast(row, this.columns);
  }

  notesOf(row: SheetRow): readonly string[] {
    return notesOf(row);
  }

  // --- by key, by button or by word ---

  act(action: KeyAction): void {
    switch (action.do) {
      case 'enter':
        return this.enter();
      case 'stop':
        return this.stop();
      case 'next':
        return this.goOn();
      case 'undo':
        return this.undo();
      case 'cancel':
        return this.cancel();
      case 'symptom':
        return this.ask(this.asking?.about === 'symptom' ? undefined : { about: 'symptom' });
      case 'why':
        return this.askWhy();
      case 'posture':
        return this.ask(this.asking?.about === 'posture' ? undefined : { about: 'posture' });
      case 'strike':
        if (this.aimed && this.aimed.cell.text !== '') this.ask({ about: 'strike', slot: this.aimed.slot });
        return;
      case 'aim':
        return this.moveAim(action.direction);
      case 'emergency':
        this.emergency = !this.emergency;
        return;
      case 'sound':
        this.soundOn = !this.soundOn;
        remember('live-sound', this.soundOn ? 'on' : 'off');
        return;
      case 'units':
        this.#speedUnit = this.speedUnit === 'km/h' ? '[mi_i]/h' : 'km/h';
        remember('speed-unit', this.#speedUnit);
        return;
      case 'strap':
        return this.offers.takeStrap();
      case 'pointed':
        return this.offers.takePointed();
      case 'wall':
        return void this.openWall();
      case 'told':
        return this.instructorTold();
      case 'rail':
        return this.toggleRail();
      case 'gait':
        return this.toggleGait();
      case 'faster':
      case 'slower':
        return void this.pace.change(action.do === 'faster' ? 1 : -1);
    }
  }

  enter(): void {
    const { reading, line } = this;
    if (reading.command === 'stop') return this.#done(() => this.stop());
    if (reading.command === 'stage') return this.#done(() => this.goOn());
    if (reading.command === 'undo') return this.#done(() => this.undo());
    if (reading.command === 'told') return this.#done(() => this.instructorTold());
    if (reading.command === 'back') return this.#done(() => void this.send([{ kind: 'stop-taken-back', data: {} }], 'stop taken back'));
    if (reading.next) return this.ask(reading.next);
    if (reading.state !== 'ready') {
      this.insisted = line.trim() === '' ? undefined : line;
      return;
    }
    if (reading.ask !== undefined && this.asked !== line) {
      this.asked = line;
      return;
    }
    this.#done(() => void this.send(reading.drafts, reading.says));
  }

  #done(act: () => void): void {
    this.line = '';
    this.asking = undefined;
    this.aim = undefined;
    this.asked = undefined;
    this.insisted = undefined;
    act();
  }

  cancel(): void {
    this.said = undefined;
    this.asked = undefined;
    this.insisted = undefined;
    if (this.emergency) this.emergency = false;
    else if (this.line !== '') this.line = '';
    else if (this.asking) this.asking = undefined;
    else this.aim = undefined;
  }

  ask(asking: Asking | undefined): void {
    this.asking = asking;
    this.line = '';
    this.said = undefined;
    this.asked = undefined;
    this.insisted = undefined;
  }

  /** F6: why the test stopped, why a reading was not taken, or a note; again for the next of them. */
  askWhy(): void {
    const { state } = this;
    if (!state) return;
    const slots: readonly Slot[] = notTakenNow(state, this.now, this.aimed?.slot);
    const offers: Asking[] = [...(this.wantsReason ? [{ about: 'why-stopped' } as const] : []), ...(slots.length > 0 ? [{ about: 'not-taken', slots } as const] : []), { about: 'note' }];
    const at = offers.findIndex((offer) => offer.about === this.asking?.about);
    this.ask(offers[(at + 1) % offers.length]);
  }

  /** F2: the next step of the phase. */
  goOn(): void {
    const { state } = this;
    if (!state) return;
    if (state.phase === 'prepare') return void this.send([{ kind: 'rest-started', data: {} }], 'Rest has begun');
    if (state.phase === 'rest') {
      const [first] = this.holds;
      if (first) return this.tell(`Not yet: ${this.holds.map((hold) => hold.text.toLowerCase()).join('; ')}.`, 'refused');
      const settings = typedSettings(nearestSettable(this.machine, plannedSettings(state.sheet.stages.list[0], state.sex)).differing);
      return void this.send([{ kind: 'exercise-started', data: settings === undefined ? {} : { settings } }], 'exercise has begun');
    }
    if (state.phase === 'exercise') return this.#markChange();
    if (state.phase === 'recovery') return this.ask(this.asking?.about === 'close' ? undefined : { about: 'close' });
    this.#of.onclosed();
  }

  #markChange(): void {
    const { state } = this;
    const last = state?.stages.at(-1);
    if (!state || !last) return;
    if (!state.next) return this.tell(`Stage ${last.number} is the last of this lab sheet.`, 'refused');
    if (performance.now() - this.#changeMarked < TWICE) return;
    this.#changeMarked = performance.now();
    const stage = last.number + 1;
    const { settings: planned, differing } = nearestSettable(this.machine, state.next.settings ?? {});
    const settings = typedSettings(differing);
    void this.send([{ kind: 'stage-changed', data: settings === undefined ? { stage } : { stage, settings } }], `stage ${stage} set`, (taken) => `Stage ${stage} set at ${formatClock(taken - (state.starts.exercise ?? 0))}: ${this.words(planned)}. Set differently? Type for example set ${this.words(planned).replaceAll(', ', ' ')}`);
  }

  /** One action, at any moment of exercise, never behind a question. */
  stop(): void {
    if (this.phase !== 'exercise') return this.tell(this.phase === 'recovery' ? 'The test has already been stopped.' : 'No test is running.', 'told');
    if (this.stopWaiting) return;
    this.asking = undefined;
    this.asked = undefined;
    this.insisted = undefined;
    void this.send([{ kind: 'test-stopped', data: {} }], 'the test is stopped');
  }

  takeBack(): void {
    void this.send([{ kind: 'stop-taken-back', data: {} }], 'stop taken back; the test goes on');
  }

  undo(): void {
    const undo = undoLast(this.feed.events, this.#of.author(), this.now);
    if (undo.ok) void this.#takeBack(undo.drafts, undo.says, undo.typed);
    else this.tell(undo.says, 'refused');
  }

  async #takeBack(drafts: readonly SessionDraft[], says: string, typed: string | undefined): Promise<void> {
    if (!(await this.send(drafts, says)) || typed === undefined || this.line !== '' || this.asking) return;
    // What was typed comes back into the line, so that a slip is put right and not typed anew.
    this.line = typed;
    this.onrestored?.();
  }
  /** Set by the entry line: selects what was put back. */
  onrestored: (() => void) | undefined;

  /** A key from the second window: as if it had been pressed here, with what is typed at the end of the line. */
  pressedElsewhere(press: PressedThere): void {
    const event = new KeyboardEvent('keydown', { ...press, cancelable: true });
    window.dispatchEvent(event);
    if (event.defaultPrevented || press.ctrlKey || press.altKey || press.metaKey) return;
    if (press.key.length === 1 && this.line.length < LONGEST_LINE) this.line += press.key;
    else if (press.key === 'Backspace') this.line = this.line.slice(0, -1);
  }

  /** F9: the second window, for the wall or the participant. */
  async openWall(): Promise<void> {
    if (!this.#of.openWall) return this.tell('This window cannot open a second one.', 'told');
    const opened = await this.#of.openWall();
    if (!opened.ok) this.tell(opened.error.message, 'refused');
    else this.tell('The second window is open; the keys stay here.', 'told');
  }
  get canOpenWall(): boolean {
    return this.#of.openWall !== undefined;
  }

  /** Alt I: writes down that the instructor knows what the numbers called for. */
  instructorTold(): void {
    const drafts = toldDrafts(this.alerts);
    if (drafts.length === 0) return this.tell('Nothing calls the instructor now. A note: F6.', 'told');
    void this.send(drafts, 'the instructor has been told');
  }

  toggleRail(): void {
    const held = !(this.state?.handrail.at(-1)?.held ?? false);
    void this.send([{ kind: 'handrail-held', data: { held } }], held ? 'hand on the rail' : 'hand off the rail');
  }

  toggleGait(): void {
    const last = this.state?.gaits.at(-1)?.gait;
    const gait: Gait = last === 'walk' ? 'run' : 'walk';
    void this.send([{ kind: 'gait-seen', data: { gait } }], `gait seen: ${gait}`);
  }

  tick(criterion: string, met: boolean): void {
    void this.send([{ kind: 'criterion-seen', data: { criterion, met } }], met ? 'criterion seen' : 'criterion not yet');
  }

  choose(number: number): void {
    this.line = String(number);
    this.enter();
  }

  moveAim(direction: Direction): void {
    this.aim = step(this.rows, this.aim ?? this.call?.slotKeys[0], direction);
    this.said = undefined;
  }

  /**
   * Sends facts and says how it went.
   * @param told what to say once it is on disk, where that depends on the moment that the station gave it.
   */
  async send(drafts: readonly SessionDraft[], says: string, told?: (taken: number) => string, unlock?: string): Promise<boolean> {
    const before = this.feed.events.length;
    const answer = await this.outbox.send(drafts, says, this.now, unlock);
    if (!answer.ok && answer.error.code === 'passphrase-needed') {
      this.locked = { drafts, says };
      return false;
    }
    if (!answer.ok) {
      this.tell(answer.error.message, 'refused');
      return false;
    }
    const taken = this.feed.events.slice(before).find((event) => event.kind === drafts[0]?.kind)?.taken;
    if (told && taken !== undefined) this.tell(told(taken), 'told', SHOWN_FOR_SETTING);
    else this.tell(says, 'saved');
    this.justSaved = drafts.flatMap((draft) => (draft.kind === 'reading-taken' || draft.kind === 'reading-not-taken' ? [slotKey(draft.data.slot)] : []));
    clearTimeout(this.#forgetSaved);
    this.#forgetSaved = setTimeout(() => (this.justSaved = []), 1_200);
    return true;
  }

  /** What waits for the instructor's passphrase. */
  locked = $state.raw<{ readonly drafts: readonly SessionDraft[]; readonly says: string } | undefined>(undefined);
  /** The passphrase was right: what waited is sent with its proof. */
  unlocked(unlock: string | undefined): void {
    const { locked } = this;
    this.locked = undefined;
    if (locked) void this.send(locked.drafts, locked.says, undefined, unlock);
  }

  tell(text: string, tone: Said['tone'], shownFor = SHOWN_FOR): void {
    this.said = { text, tone };
    clearTimeout(this.#forget);
    this.#forget = setTimeout(() => (this.said = undefined), shownFor);
  }
}

/** A call of which every reading is optional. */
function isExtra(call: Call): boolean {
  return call.kind === 'take' && call.slots.every((slot) => slot.scheduled?.optional === true);
}
