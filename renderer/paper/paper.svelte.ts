/** A sheet that was written by hand, keyed in afterwards: the same record, with the times as written. */
import { formatClock, parseClock } from '../../core/clock-text.ts';
import { plannedStart, stagesOnPlan } from '../../core/session/schedule.ts';
import { readEntry, type EntryReading } from '../../core/session/entry-line.ts';
import { columnsOf, settingsText, sheetRows, type Cell, type Column, type SheetRow } from '../../core/session/rows.ts';
import { plannedSettings } from '../../core/session/stages.ts';
import { slotKey, type SessionDraft } from '../../core/session/events.ts';
import type { SessionState, Settings, SlotState } from '../../core/session/state.ts';
import { listedSettings } from '../../core/sheet/stage-plan.ts';
import { success, type Result } from '../../core/result.ts';
import { parseQuantity, unitOf } from '../../core/units/units.ts';
import { isSettingQuantity, readingQuantities, settingQuantities, type Gait, type SettingQuantity } from '../../core/vocabulary.ts';
import type { App } from '../app/app.svelte.ts';
import { authorOf } from '../app/author.ts';
import type { SessionFeed } from '../app/record-feed.svelte.ts';
import { Field, type Read } from '../shared/field.svelte.ts';
import { EXERCISE_BEGINS, REST_BEGINS } from './times.ts';

export interface PaperCell {
  readonly column: Column;
  /** Undefined where the sheet asks for nothing. */
  readonly field?: Field;
  readonly label: string;
}
export interface PaperRow {
  readonly kind: 'row' | 'band';
  readonly key: string;
  readonly label: string;
  readonly cells: readonly PaperCell[];
  /** For a stage's band. */
  readonly stage?: { readonly number: number; readonly planned: string; readonly changed?: Field; readonly settings: readonly { readonly name: SettingQuantity; readonly label: string; readonly field: Field }[]; /** Only where people walk or run on a belt. */ readonly gait?: Gait | ''; readonly rail: boolean };
  readonly text?: string;
}

const time = (text: string): number | undefined => parseClock(text);
const notATime: Read = { ok: false, message: 'Minutes and seconds, like 9:40.' };

export class Paper {
  readonly #app: App;
  readonly #feed: SessionFeed;
  /** Fields live as long as the page, so that what is being typed survives every new fold. */
  readonly #fields = new Map<string, Field>();
  readonly stopped: Field;
  refused = $state<string | undefined>(undefined);
  /** The frame was given by Enter: the first cell is next, as soon as there is one. */
  laidOut = $state(false);

  readonly state = $derived.by((): SessionState => {
    const { state } = this.#feed;
    if (!state) throw new Error('a sheet is keyed in when its session has been read');
    return state;
  });
  readonly columns = $derived(columnsOf(this.state));
  readonly rows = $derived.by((): readonly PaperRow[] => this.#shown(sheetRows(this.state, Infinity)).map((row) => this.#row(row)));
  readonly filled = $derived([...this.state.slots.values()].filter((slot) => slot.current !== undefined).length);

  constructor(app: App, feed: SessionFeed) {
    this.#app = app;
    this.#feed = feed;
    this.stopped = new Field({
      recorded: () => (this.state.stop ? formatClock(this.state.stop.taken - EXERCISE_BEGINS) : ''),
      read: (text) => (text.trim() === '' || (time(text) ?? 0) > 0 ? { ok: true } : notATime),
      write: (text) => this.#stopAt(time(text)),
    });
  }

  append(...drafts: SessionDraft[]): Promise<Result<unknown>> {
    return this.#feed.append(authorOf(this.#app.person, this.state), ...drafts);
  }

  async tell(...drafts: SessionDraft[]): Promise<boolean> {
    const answer = await this.append(...drafts);
    this.refused = answer.ok ? undefined : answer.error.message;
    return answer.ok;
  }

  /** "6:40 cuff slipped": a note with the time of exercise that it was written beside; without one, at the stop. */
  async note(kind: 'note-added' | 'symptom-noted', text: string): Promise<boolean> {
    const { at, rest } = timeFirst(text);
    if (rest === '') return false;
    const taken = at === undefined ? (this.state.stop?.taken ?? EXERCISE_BEGINS) : EXERCISE_BEGINS + at;
    return this.tell({ kind, data: { text: rest }, taken });
  }

  setGait(stage: number, gait: Gait): Promise<boolean> {
    return this.tell({ kind: 'gait-seen', data: { gait }, taken: this.#stage(stage)?.changed ?? EXERCISE_BEGINS });
  }

  setRail(number: number, held: boolean): Promise<boolean> {
    const stage = this.#stage(number);
    const from = stage?.changed ?? EXERCISE_BEGINS;
    const off: SessionDraft = { kind: 'handrail-held', data: { held: false }, taken: (stage?.ended ?? from) - (held ? 0 : 1) };
    return this.tell({ kind: 'handrail-held', data: { held }, taken: from }, off);
  }

  /** When a posture of the recovery plan began, counted from the stop. */
  posture(posture: SessionState['postures'][number]['posture']): Field {
    return this.#field(`posture/${posture}`, {
      recorded: () => {
        const seen = this.state.postures.findLast((one) => one.posture === posture && one.taken >= (this.state.starts.recovery ?? Infinity));
        return seen ? formatClock(seen.taken - (this.state.starts.recovery ?? 0)) : '';
      },
      read: (text) => (text.trim() === '' || time(text) !== undefined ? { ok: true } : notATime),
      write: (text) => {
        const at = time(text);
        return at === undefined ? none() : this.append({ kind: 'posture-changed', data: { posture }, taken: (this.state.starts.recovery ?? 0) + at });
      },
    });
  }

  giveReason(text: string): Promise<boolean> {
    const reason = this.state.sheet.stop.reasons.find((one) => one.text === text);
    return reason ? this.tell({ kind: 'stop-reason-given', data: { reason: reason.text, symptom: reason.symptom } }) : Promise.resolve(false);
  }

  async close(): Promise<void> {
    // The sheet ends with the last thing that is written on it.
    const moments = [...this.state.slots.values()].flatMap((slot) => slot.readings.map((reading) => reading.taken));
    const taken = Math.max(this.state.stop?.taken ?? 0, ...moments);
    if (await this.tell({ kind: 'session-closed', data: { outcome: 'left' }, taken })) this.#app.router.go({ screen: 'session', session: this.#feed.id });
  }

  /** The stop fixes the frame: Rest and exercise begin, and every stage that was reached by then is taken to be on plan. */
  #stopAt(at: number | undefined): Promise<Result<unknown>> {
    const { state } = this;
    const drafts: SessionDraft[] = [];
    if (state.stop) drafts.push({ kind: 'event-struck', data: { target: state.stop.seq, reason: 'keyed in wrongly' } });
    if (at === undefined) return drafts.length > 0 ? this.append(...drafts) : none();
    if (state.phase === 'prepare') drafts.push({ kind: 'rest-started', data: {}, taken: REST_BEGINS });
    if (state.starts.exercise === undefined) drafts.push({ kind: 'exercise-started', data: {}, taken: EXERCISE_BEGINS });
    // Stages that the new time does not reach any more.
    for (const stage of state.stages) {
      if (stage.number === 1 || stage.changedAt < at) continue;
      const event = this.#feed.events.findLast((one) => one.kind === 'stage-changed' && (one.data as { stage?: number }).stage === stage.number);
      if (event) drafts.push({ kind: 'event-struck', data: { target: event.seq, reason: 'the test stopped before' } });
    }
    for (const number of stagesOnPlan(state.sheet, at)) {
      if (this.#stage(number)) continue;
      drafts.push({ kind: 'stage-changed', data: { stage: number, assumed: true }, taken: EXERCISE_BEGINS + plannedStart(state.sheet, number) });
    }
    drafts.push({ kind: 'test-stopped', data: {}, taken: EXERCISE_BEGINS + at });
    return this.append(...drafts);
  }

  #stage(number: number) {
    return this.state.stages.find((stage) => stage.number === number);
  }

  /** Recovery minutes as far as they are written, and two more to write in. */
  #shown(rows: readonly SheetRow[]): readonly SheetRow[] {
    const start = this.state.starts.recovery ?? 0;
    const last = Math.max(0, ...rows.filter((row) => row.phase === 'recovery' && row.kind === 'row' && row.cells.some((cell) => cell.text !== '' || cell.status === 'not-taken')).map((row) => row.at - start));
    const until = start + Math.max(6 * 60_000, last + 2 * 60_000);
    return rows.filter((row) => row.phase !== 'recovery' || row.at <= until);
  }

  #row(row: SheetRow): PaperRow {
    if (row.kind === 'band') return { kind: 'band', key: row.key, label: row.label, cells: [], ...(row.stage === undefined ? { text: row.text ?? '' } : { stage: this.#band(row.stage) }) };
    return { kind: 'row', key: row.key, label: row.label, cells: row.cells.map((cell) => this.#cell(row, cell)) };
  }

  #band(number: number): NonNullable<PaperRow['stage']> {
    const stage = this.#stage(number);
    const planned = stage?.planned ?? {};
    // After a branch the planned load hangs on heart rates that may not be keyed in yet; its field is there all the same.
    const names = Object.keys(this.#listed(number)).filter(isSettingQuantity);
    return {
      number,
      planned: settingsText(planned),
      ...(number === 1 ? {} : { changed: this.#changed(number) }),
      settings: names.map((name) => ({ name, label: settingQuantities[name].label, field: this.#setting(number, name) })),
      ...(this.state.sheet.mode === 'treadmill' ? { gait: stage?.gait ?? ('' as const) } : {}),
      rail: stage?.handrail ?? false,
    };
  }

  #changed(number: number): Field {
    return this.#field(`changed/${number}`, {
      recorded: () => {
        const stage = this.#stage(number);
        return stage && !stage.assumed ? formatClock(stage.changedAt) : '';
      },
      read: (text) => (text.trim() === '' || time(text) !== undefined ? { ok: true } : notATime),
      write: (text) => {
        const at = time(text);
        const taken = EXERCISE_BEGINS + (at ?? plannedStart(this.state.sheet, number));
        return this.append({ kind: 'stage-changed', data: { stage: number, ...(at === undefined ? { assumed: true } : {}) }, taken });
      },
    });
  }

  #listed(number: number): Settings {
    return plannedSettings(listedSettings(this.state.sheet, number), this.state.sex);
  }

  #setting(number: number, name: SettingQuantity): Field {
    const unit = this.#listed(number)[name]?.unit ?? settingQuantities[name].unit;
    return this.#field(`setting/${number}/${name}`, {
      recorded: () => {
        const stage = this.#stage(number);
        const [actual, planned] = [stage?.actual[name], stage?.planned[name]];
        return actual && actual !== planned && actual.value !== planned?.value ? `${actual.typed} ${unitOf(actual.unit).label}` : '';
      },
      read: (text) => {
        const parsed = text.trim() === '' ? undefined : parseQuantity(text, { defaultUnit: unit, accepts: settingQuantities[name].accepts });
        return parsed && !parsed.ok ? { ok: false, message: parsed.error.message } : { ok: true };
      },
      write: (text) => {
        const planned = this.#stage(number)?.planned[name];
        const parsed = parseQuantity(text, { defaultUnit: unit });
        const setting = parsed.ok ? { typed: String(parsed.value), unit: parsed.unit } : planned && { typed: planned.typed, unit: planned.unit };
        return setting ? this.append({ kind: 'setting-recorded', data: { stage: number, settings: { [name]: setting } }, taken: this.#stage(number)?.changed ?? EXERCISE_BEGINS }) : none();
      },
    });
  }

  #cell(row: SheetRow, cell: Cell): PaperCell {
    const label = `${row.phase === 'recovery' ? 'Recovery ' : ''}${row.label}`;
    if (cell.slots.length === 0) return { column: cell.column, label };
    return { column: cell.column, label, field: this.#reading(row, cell) };
  }

  #reading(row: SheetRow, cell: Cell): Field {
    const begins = row.phase === 'rest' ? REST_BEGINS : row.phase === 'exercise' ? EXERCISE_BEGINS : undefined;
    const at = row.at;
    const from = (): number => begins ?? this.state.starts.recovery ?? 0;
    const slots = (): readonly SlotState[] => cell.keys.flatMap((key) => this.state.slots.get(key) ?? []);
    const taken = (text: string): number => {
      const { at: written } = timeFirst(text);
      return written === undefined ? at : from() + written;
    };
    const entry = (text: string) => {
      const said = timeFirst(text).rest;
      const [slot] = cell.slots;
      if (/^[-−–]/.test(said)) return notTaken(cell, said.slice(1).trim());
      return onlyHere(cell, readEntry(this.state, said, taken(text), slot ? { slot } : {}));
    };
    return this.#field(`reading/${cell.keys.join('+')}`, {
      recorded: () => {
        const now = slots();
        const standing = now.flatMap((slot) => (slot.current ? [slot.current] : []));
        const [first] = standing;
        if (!first) return now.some((slot) => slot.notTaken) ? '-' : '';
        const when = first.taken === at ? '' : `${formatClock(first.taken - from())} `;
        return `${when}${standing.map((reading) => reading.typed).join('/')}`;
      },
      read: (text) => {
        if (text.trim() === '') return { ok: true };
        const reading = entry(text);
        if (reading.state !== 'ready' || reading.command !== undefined) return { ok: false, message: reading.says };
        return { ok: true, ...(reading.ask === undefined ? {} : { ask: reading.ask }) };
      },
      write: (text) => {
        const before = slots().flatMap((slot) => (slot.current ? [slot.current.seq] : slot.notTaken ? [slot.notTaken.seq] : []));
        if (text.trim() === '') return before.length === 0 ? none() : this.append(...before.map((target): SessionDraft => ({ kind: 'event-struck', data: { target, reason: 'keyed in wrongly' } })));
        const drafts = entry(text).drafts.map((draft): SessionDraft => (draft.kind === 'reading-taken' ? { ...draft, data: { ...draft.data, source: 'paper' }, taken: taken(text) } : { ...draft, taken: taken(text) }));
        return this.append(...drafts);
      },
    });
  }

  #field(key: string, rules: ConstructorParameters<typeof Field>[0]): Field {
    let field = this.#fields.get(key);
    if (!field) {
      field = new Field(rules);
      this.#fields.set(key, field);
    }
    return field;
  }
}

/** The entry line finds the place for whatever is said; a cell takes what belongs in it, whole, and nothing else. */
function onlyHere(cell: Cell, reading: EntryReading): EntryReading {
  if (reading.state !== 'ready') return reading;
  const isHere = reading.drafts.every((draft) => draft.kind === 'reading-taken' && cell.keys.includes(slotKey(draft.data.slot)));
  if (isHere && reading.drafts.length === cell.keys.length) return reading;
  return { state: 'refused', says: cell.column === 'pressure' ? 'Both pressures, like 116/74.' : `Only ${readingQuantities[cell.column].label} goes here.`, drafts: [] };
}

/** A dash takes the whole cell: both pressures. What stands behind it is the reason. */
function notTaken(cell: Cell, reason: string): EntryReading {
  return { state: 'ready', says: '', drafts: cell.slots.map((slot): SessionDraft => ({ kind: 'reading-not-taken', data: { slot, reason: reason === '' ? 'not on the sheet' : reason } })) };
}

function none(): Promise<Result<unknown>> {
  return Promise.resolve(success(undefined));
}

/** "2:38 134/66": the time as written, and the rest. */
function timeFirst(text: string): { readonly at?: number; readonly rest: string } {
  const match = /^\s*(\d{1,3}:[0-5]\d)\s+(.*)$/.exec(text);
  const at = match?.[1] === undefined ? undefined : time(match[1]);
  return at === undefined ? { rest: text.trim() } : { at, rest: (match?.[2] ?? '').trim() };
}
