/** The import step: a file, what was understood of it and why, what a person changed, how its clock goes with the session's. */
import { formatClock, parseClock } from '../../core/clock-text.ts';
import {
  alignByEvent, applyMapping, checkAlignment, decodeGasFile, eventsOf, fitMapping, gasQuantities, guessMapping, headingKey, importOptions, isGasValue, keepSeries, missingFrom, readGasTable, readMapping,
  type Alignment, type AlignmentCheck, type BreathSeries, type ColumnMapping, type ColumnQuantity, type GasCondition, type GasTable, type Guess, type GuessedMapping, type Mapping, type ReadOptions, type RowsKind, type TimeForm,
} from '../../core/gas/gas.ts';
import { sha256Hex } from '../../core/record/chain.ts';
import type { Result } from '../../core/result.ts';
import { rehearsedBreathFile } from '../../core/rehearsal/breath-file.ts';
import { findingsOf } from '../../core/results/gas.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { UnitCode } from '../../core/units/units.ts';
import type { App } from '../app/app.svelte.ts';
import { authorOf } from '../app/author.ts';
import type { SessionFeed } from '../app/record-feed.svelte.ts';
import { shelfOf } from './shelf.svelte.ts';

const LARGEST_FILE = 50 * 1024 * 1024;

export interface SessionMoment {
  readonly id: string;
  readonly label: string;
  readonly time: number;
}

export class GasImport {
  readonly #app: App;
  readonly #feed: SessionFeed;
  readonly #state: () => SessionState;

  name = $state('');
  bytes = $state.raw<Uint8Array | undefined>(undefined);
  /** How the layout is read where a person says it otherwise. */
  options = $state.raw<ReadOptions>({});
  /** What a person changed of the mapping; undefined takes what was guessed. */
  changed = $state.raw<Mapping | undefined>(undefined);
  remembered = $state.raw<Mapping | undefined>(undefined);
  refused = $state<string>();
  busy = $state(false);

  by = $state<'event' | 'typed'>('typed');
  marker = $state(0);
  moment = $state('exercise');
  /** Where exercise begins on the file's clock, as typed. */
  typed = $state('0:00');
  /** Why this alignment was proposed. */
  proposed = $state('');

  readonly decoded = $derived(this.bytes === undefined ? undefined : decodeGasFile(this.bytes));
  readonly table = $derived<Result<GasTable> | undefined>(this.decoded === undefined ? undefined : readGasTable(this.decoded.text, this.options));
  readonly guessed = $derived<GuessedMapping | undefined>(this.table?.ok ? (this.remembered ? fitMapping(this.remembered, this.table.value) : guessMapping(this.table.value)) : undefined);
  readonly mapping = $derived(this.changed ?? this.guessed?.mapping);
  readonly missing = $derived(this.mapping === undefined ? [] : missingFrom(this.mapping.columns));
  readonly series = $derived.by<Result<BreathSeries> | undefined>(() => (this.table?.ok && this.mapping && this.missing.length === 0 ? applyMapping(this.table.value, this.mapping, importOptions(this.#state())) : undefined));
  readonly markers = $derived(this.series?.ok ? eventsOf(this.series.value).slice(0, 200) : []);
  readonly moments = $derived.by<readonly SessionMoment[]>(() => momentsOf(this.#state()));

  readonly alignment = $derived.by<Alignment | undefined>(() => {
    const { exercise } = this.#state().starts;
    if (exercise === undefined) return undefined;
    if (this.by === 'event') {
      const mark = this.markers[this.marker];
      const moment = this.moments.find(({ id }) => id === this.moment);
      return mark && moment && alignByEvent(moment.label, mark.time, moment.time);
    }
    const time = parseClock(this.typed);
    return time === undefined ? undefined : { ...alignByEvent('Start of exercise', time, exercise), by: 'typed offset' };
  });
  readonly check = $derived.by<AlignmentCheck | undefined>(() => {
    const { starts, stop } = this.#state();
    if (!this.alignment || !this.series?.ok || starts.exercise === undefined) return undefined;
    const rows = this.series.value;
    const to = stop?.taken ?? (rows.time[rows.length - 1] ?? 0) + this.alignment.offset;
    return checkAlignment(rows, this.alignment, { from: starts.exercise, to: Math.max(to, starts.exercise) });
  });
  /** What joining it would give, in one line: the surest sign that a unit or the alignment is wrong. */
  readonly outlook = $derived.by<string>(() => {
    if (!this.series?.ok || !this.alignment) return '';
    const found = findingsOf(this.#state(), this.series.value, this.alignment);
    if (typeof found === 'string') return `Nothing could be worked out: ${found}.`;
    const written = [...this.#state().slots.values()].filter(({ slot, current }) => slot.phase === 'exercise' && slot.quantity === 'vo2' && current?.value !== undefined).map(({ current }) => current?.value ?? 0);
    const beside = written.length === 0 ? '' : `; the highest on the sheet is ${Math.max(...written).toFixed(2)}`;
    return found.peak === undefined ? 'No mean of 30 s is filled by the rows.' : `Peak oxygen uptake as a 30-s mean: ${found.peak.value.toFixed(2)} L/min at ${formatClock(found.peak.to + this.alignment.offset - (this.#state().starts.exercise ?? 0))} of exercise${beside}.`;
  });
  readonly ready = $derived(this.series?.ok === true && this.alignment !== undefined && this.name.trim() !== '');

  constructor(app: App, feed: SessionFeed, state: () => SessionState) {
    this.#app = app;
    this.#feed = feed;
    this.#state = state;
  }

  readonly headingLine = $derived(this.options.headingLine ?? Number(/line (\d+)/.exec(this.guess('headings')?.understood ?? '')?.[1] ?? Number.NaN));

  /** The reason of a guess about one column, or of one about the whole file. */
  guess(about: Guess['about'], column?: number): Guess | undefined {
    const all = [...(this.table?.ok ? this.table.value.guesses : []), ...(this.guessed?.guesses ?? [])];
    return all.find((guess) => guess.about === about && (column === undefined || guess.column === column));
  }

  async take(file: File): Promise<void> {
    if (file.size > LARGEST_FILE) this.refused = `${file.name} is larger than 50 MB. Nothing was read; choose the file of one test.`;
    else this.load(file.name, new Uint8Array(await file.arrayBuffer()));
  }

  /** The simulated analyser of a rehearsal. */
  takeSimulated(): void {
    const file = rehearsedBreathFile(this.#state(), this.#feed.now);
    if (file.ok) this.load(file.value.name, new TextEncoder().encode(file.value.text));
    else this.refused = file.error.message;
  }

  load(name: string, bytes: Uint8Array): void {
    this.refused = undefined;
    this.options = {};
    this.changed = undefined;
    this.remembered = undefined;
    this.name = name;
    this.bytes = bytes;
    this.#propose();
    void this.#recall();
  }

  again(): void {
    this.bytes = undefined;
    this.refused = undefined;
  }

  read(options: ReadOptions): void {
    this.options = { ...this.options, ...options };
    this.changed = undefined;
  }

  /** Back to the layout as it was understood. */
  asGuessed(): void {
    this.options = {};
    this.changed = undefined;
  }

  setColumn(column: number, change: Partial<Pick<ColumnMapping, 'quantity' | 'unit' | 'condition'>>): void {
    if (!this.mapping) return;
    const columns = this.mapping.columns.map((known): ColumnMapping => {
      if (known.column !== column) return known;
      const quantity: ColumnQuantity = change.quantity ?? known.quantity;
      const head = { column, heading: known.heading, quantity };
      if (!isGasValue(quantity)) return head;
      const { accepts, condition: kept } = gasQuantities[quantity];
      const unit: UnitCode | undefined = change.unit ?? (known.unit !== undefined && accepts.includes(known.unit) ? known.unit : accepts[0]);
      const state: GasCondition | undefined = change.condition ?? known.condition;
      return { ...head, ...(unit === undefined ? {} : { unit }), ...(kept === undefined || state === undefined ? {} : { condition: state }) };
    });
    this.changed = { ...this.mapping, columns };
  }

  setTimeForm(timeForm: TimeForm): void {
    if (this.mapping) this.changed = { ...this.mapping, timeForm };
  }

  setRows(rows: RowsKind): void {
    if (this.mapping) this.changed = { ...this.mapping, rows };
  }

  /** The mapping that was confirmed before for these headings, on this station. */
  async #recall(): Promise<void> {
    if (!this.table?.ok) return;
    const { bytes } = this;
    const known = await this.#app.station.api.call('mapping.get', { key: sha256Hex(headingKey(this.table.value)) });
    if (!known.ok || this.bytes !== bytes || this.changed) return;
    const mapping = readMapping(known.value.mapping);
    if (mapping.ok) this.remembered = mapping.value;
    this.#propose();
  }

  /** A first alignment, with its reason; always shown, never taken in silence. */
  #propose(): void {
    const state = this.#state();
    const { exercise } = state.starts;
    const marks = this.markers;
    const start = marks.findIndex(({ text }) => /exerc|start|begin|ramp/i.test(text));
    this.by = start < 0 ? 'typed' : 'event';
    this.marker = Math.max(0, start);
    this.moment = 'exercise';
    this.typed = '0:00';
    const clock = this.series?.ok ? this.series.value.startsAt : undefined;
    const wall = /T(\d\d):(\d\d):(\d\d)/.exec(state.openedWall);
    if (start >= 0) this.proposed = 'proposed, since the mark speaks of a start';
    else if (clock !== undefined && wall && exercise !== undefined && state.way === 'live') {
      const opened = (Number(wall[1]) * 3600 + Number(wall[2]) * 60 + Number(wall[3])) * 1000;
      const at = opened + exercise - clock;
      this.typed = formatClock(at).replace('−', '-');
      this.proposed = 'proposed from the clock times of the file and of this computer; they may differ';
    } else this.proposed = 'nothing in the file says where exercise begins: it is taken to begin with the file';
  }

  /** Keeps the rows, joins them to the session, and remembers the mapping. */
  async join(): Promise<boolean> {
    const { alignment, mapping } = this;
    if (this.busy || !this.table?.ok || !this.series?.ok || !mapping || !alignment) return false;
    this.busy = true;
    this.refused = undefined;
    const done = await this.#join(this.table.value, mapping, this.series.value, alignment);
    this.busy = false;
    if (!done.ok) this.refused = done.error.message;
    return done.ok;
  }

  async #join(table: GasTable, mapping: Mapping, series: BreathSeries, alignment: Alignment): Promise<Result<unknown>> {
    const { api } = this.#app.station;
    const kept = keepSeries(table, mapping);
    if (!kept.ok) return kept;
    const put = await api.call('series.put', { text: kept.value.text });
    if (!put.ok) return put;
    shelfOf(api).put(put.value.hash, kept.value.text);
    const written = await this.#feed.append(authorOf(this.#app.person, this.#state()), {
      kind: 'series-attached',
      data: { name: this.name.trim().slice(0, 300), hash: put.value.hash, rows: series.length, perBreath: series.rows.kind === 'per-breath', offset: Math.round(alignment.offset), aligned: alignment.by === 'marked event' ? 'event' : 'typed', mapping: kept.value.mapping },
    });
    if (!written.ok) return written;
    // Not worth a refusal: the next file is guessed anew.
    await api.call('mapping.remember', { key: sha256Hex(headingKey(table)), mapping });
    return written;
  }
}

/** Moments of the session that a mark in a file may stand for. */
function momentsOf(state: SessionState): readonly SessionMoment[] {
  const { rest, exercise } = state.starts;
  if (exercise === undefined) return [];
  const at = (time: number): string => formatClock(time - exercise);
  return [
    { id: 'exercise', label: 'Start of exercise', time: exercise },
    ...(rest === undefined ? [] : [{ id: 'rest', label: `Start of rest (${at(rest)})`, time: rest }]),
    ...state.stages.slice(1).map((stage) => ({ id: `stage-${stage.number}`, label: `Stage ${stage.number} set (${at(stage.changed)})`, time: stage.changed })),
    ...(state.stop === undefined ? [] : [{ id: 'stop', label: `Stop (${at(state.stop.taken)})`, time: state.stop.taken }]),
  ];
}
