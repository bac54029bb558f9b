/** The head of the sheet: details, checks, holds, and the step to Rest. */
import { holdsOf, type Hold } from '../../core/session/holds.ts';
import { isNumericDetail, readDetail } from '../../core/session/plausible-details.ts';
import type { SessionDraft } from '../../core/session/events.ts';
import type { SessionState } from '../../core/session/state.ts';
import { success, type Result } from '../../core/result.ts';
import { formatNumber, isUnitCode, parseQuantity, unitOf, type UnitCode } from '../../core/units/units.ts';
import { detailQuantities, isDetailId, type DetailId } from '../../core/vocabulary.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import type { App } from '../app/app.svelte.ts';
import { authorOf } from '../app/author.ts';
import type { SessionFeed } from '../app/record-feed.svelte.ts';
import { Field } from '../shared/field.svelte.ts';

const participant: readonly DetailId[] = ['participant-code', 'sex', 'age', 'height', 'mass'];
const room: readonly DetailId[] = ['temperature', 'pressure', 'humidity', 'ergometer'];
const people: readonly DetailId[] = ['recorder', 'tester', 'course', 'group', 'term'];

/** What one would type, shown while the field is empty. */
const examples: Readonly<Partial<Record<DetailId, string>>> = {
  'participant-code': 'R-07',
  age: '22',
  height: '175 or 5 ft 9 in',
  mass: '61.4 or 135 lb',
  temperature: '21.5',
  pressure: '760 or 1013 hPa',
  humidity: '45',
};

export interface DetailLine {
  readonly id: DetailId;
  readonly label: string;
  readonly required: boolean;
  /** Unit of a bare number. */
  readonly unit: string;
  readonly example: string;
  readonly field: Field;
  /** What the station's profile offers here. */
  readonly options: () => readonly string[];
}

export interface CheckLine {
  readonly id: string;
  readonly text: string;
  readonly hold: LabSheet['checks'][number]['hold'];
  readonly source?: string;
  /** For a check with a value: its field, and the range in which it passes. */
  readonly value?: { readonly field: Field; readonly unit: string; readonly range: string; readonly source: string };
}

export class Prepare {
  readonly #app: App;
  readonly #feed: SessionFeed;
  readonly state = $derived.by((): SessionState => {
    const { state } = this.#feed;
    if (!state) throw new Error('the head of the sheet is shown when its session has been read');
    return state;
  });
  readonly groups: readonly { readonly title: string; readonly lines: readonly DetailLine[] }[];
  readonly checks: readonly CheckLine[];

  readonly holds = $derived(holdsOf(this.state).filter((hold) => hold.id !== 'rest-readings'));
  readonly missing = $derived(this.holds.filter((hold) => !hold.met && hold.overridden === undefined));
  readonly setAside = $derived(this.holds.filter((hold) => !hold.met && hold.overridden !== undefined));
  readonly canBeSetAside = $derived(this.missing.filter((hold) => hold.who === 'instructor'));
  readonly missingGroups = $derived(groupsOf(this.missing));
  readonly noTestToday = $derived(this.state.screening !== undefined && this.state.screening.outcome !== 'go');
  readonly withoutSex = $derived(this.state.sex === undefined ? voidWithoutSex(this.state.sheet) : undefined);
  /** Why the last step was not taken. */
  refused = $state<string | undefined>(undefined);
  overriding = $state(false);

  constructor(app: App, feed: SessionFeed) {
    this.#app = app;
    this.#feed = feed;
    const { sheet } = this.state;
    const asked = new Set([...sheet.details.required, ...sheet.details.asked].filter(isDetailId));
    const line = (id: DetailId): DetailLine => ({
      id,
      label: detailQuantities[id].label,
      required: sheet.details.required.includes(id),
      unit: isNumericDetail(id) ? unitOf(this.#preferred(id) ?? detailQuantities[id].unit).label : '',
      example: examples[id] ?? '',
      field: this.#detailField(id),
      options: () => this.#offered(id),
    });
    this.groups = [
      { title: 'Participant', lines: participant.filter((id) => asked.has(id)).map(line) },
      { title: 'Room and ergometer', lines: room.filter((id) => asked.has(id)).map(line) },
      { title: 'People and course', lines: people.filter((id) => asked.has(id)).map(line) },
    ].filter((group) => group.lines.length > 0);
    this.checks = sheet.checks.map((check) => this.#checkLine(check));
  }

  /** Writes facts of this page. */
  append(...drafts: SessionDraft[]): Promise<Result<unknown>> {
    return this.#feed.append(authorOf(this.#app.person, this.state), ...drafts);
  }

  /** What waits for the instructor's passphrase. */
  locked = $state.raw<SessionDraft | undefined>(undefined);

  async unlocked(unlock: string | undefined): Promise<boolean> {
    const { locked } = this;
    this.locked = undefined;
    return locked !== undefined && this.#step(locked, unlock);
  }

  check(id: string, done: boolean): Promise<Result<unknown>> {
    return this.append({ kind: 'check-done', data: { check: id, done } });
  }

  async consent(given: boolean): Promise<void> {
    await this.#step({ kind: 'consent-noted', data: { given } });
  }

  async override(hold: string, initials: string, reason: string): Promise<boolean> {
    if (initials.trim() === '' || reason.trim() === '') {
      this.refused = "Setting something aside needs the instructor's initials and a reason. The worksheet shows both.";
      return false;
    }
    return this.#step({ kind: 'hold-overridden', data: { hold, initials: initials.trim(), reason: reason.trim() } });
  }

  async goToRest(): Promise<void> {
    if (this.state.phase === 'prepare' && !(await this.#step({ kind: 'rest-started', data: {} }))) return;
    this.#app.router.go({ screen: 'session', session: this.#feed.id });
  }

  /** A day without a test: the record is closed and says so. */
  async closeWithoutTest(): Promise<void> {
    if (await this.#step({ kind: 'session-closed', data: { outcome: 'abandoned' } })) this.#app.router.go({ screen: 'sessions' });
  }

  async #step(draft: SessionDraft, unlock?: string): Promise<boolean> {
    const author = authorOf(this.#app.person, this.state);
    const answer = await this.#feed.appendUnlocked(author, unlock, draft);
    if (!answer.ok && answer.error.code === 'passphrase-needed') {
      this.refused = undefined;
      this.locked = draft;
      return false;
    }
    this.refused = answer.ok ? undefined : answer.error.message;
    return answer.ok;
  }

  /** The unit in which this station reads a bare height or mass. */
  #preferred(id: DetailId): UnitCode | undefined {
    const units = this.#app.station.profile.current?.units;
    if (id === 'mass') return units?.mass === 'lb' ? '[lb_av]' : undefined;
    if (id === 'height') return units?.height === 'in' ? '[in_i]' : undefined;
    return undefined;
  }

  /** What stands in the record keeps the unit in which it was read; what is typed anew is in the station's. */
  #unitFor(id: DetailId, text: string): UnitCode | undefined {
    const written = this.state.details[id];
    if (written && written.typed === text.trim() && isUnitCode(written.unit)) return written.unit;
    return this.#preferred(id);
  }

  #offered(id: DetailId): readonly string[] {
    const profile = this.#app.station.profile.current;
    if (!profile) return [];
    if (id === 'course') return profile.courses.map((course) => course.name);
    if (id === 'ergometer') return profile.machines.filter((machine) => machine.mode === this.state.sheet.mode).map((machine) => machine.name);
    const written = this.state.details.course?.typed;
    const courses = profile.courses.some((course) => course.name === written) ? profile.courses.filter((course) => course.name === written) : profile.courses;
    if (id === 'group') return [...new Set(courses.flatMap((course) => course.groups))];
    if (id === 'term') return [...new Set(courses.flatMap((course) => (course.term === undefined ? [] : [course.term])))];
    return [];
  }

  #detailField(id: DetailId): Field {
    return new Field({
      recorded: () => this.state.details[id]?.typed ?? '',
      read: (text) => {
        const reading = readDetail(id, text, this.#unitFor(id, text));
        if (!reading.ok) return reading;
        return { ok: true, ...(reading.understood === undefined ? {} : { understood: reading.understood }), ...(reading.judged.level === 'ask' ? { ask: reading.judged.message } : {}) };
      },
      write: async (text) => {
        const reading = readDetail(id, text, this.#unitFor(id, text));
        if (!reading.ok) return success(undefined);
        const answer = await this.append({ kind: 'detail-given', data: { detail: id, typed: reading.typed, ...(reading.unit === undefined ? {} : { unit: reading.unit }) } });
        // Whoever is written down as the recorder is the one who writes at this window.
        if (answer.ok && id === 'recorder' && reading.typed !== '') this.#app.person.initials = reading.typed;
        return answer;
      },
    });
  }

  #checkLine(check: LabSheet['checks'][number]): CheckLine {
    const { id, text, hold, source, value } = check;
    const shared = { id, text, hold, ...(source === undefined ? {} : { source }) };
    if (!value) return shared;
    const unit = isUnitCode(value.unit) ? value.unit : '1';
    const number = (amount: number): string => formatNumber(amount, Math.max(decimalsOf(value.min), decimalsOf(value.max)));
    const range = `${number(value.min)} to ${number(value.max)} ${unitOf(unit).label}`.trim();
    const read = (typed: string): { readonly ok: true; readonly amount?: number } | { readonly ok: false; readonly message: string } => {
      if (typed.trim() === '') return { ok: true };
      const parsed = parseQuantity(typed, { defaultUnit: unit, accepts: [unit] });
      return parsed.ok ? { ok: true, amount: parsed.value } : { ok: false, message: parsed.error.message };
    };
    const field = new Field({
      recorded: () => this.state.checks[id]?.typed ?? '',
      read: (typed) => {
        const reading = read(typed);
        if (!reading.ok) return reading;
        if (reading.amount === undefined) return { ok: true };
        return { ok: true, understood: reading.amount >= value.min && reading.amount <= value.max ? 'in range' : `out of range: ${range}` };
      },
      write: (typed) => {
        const reading = read(typed);
        if (!reading.ok || reading.amount === undefined) return this.append({ kind: 'check-done', data: { check: id, done: false } });
        // The record keeps the bare number that was read; its unit stands beside it.
        return this.append({ kind: 'check-done', data: { check: id, done: true, typed: String(reading.amount), unit } });
      },
    });
    return { ...shared, value: { field, unit: unitOf(unit).label, range, source: value.source } };
  }
}

function decimalsOf(amount: number): number {
  return String(amount).split('.')[1]?.length ?? 0;
}

export interface MissingGroup {
  readonly title: string;
  readonly never: boolean;
  readonly items: readonly { readonly id: string; readonly text: string }[];
}

/** A check's text up to its first pause: enough to find it by; the whole stands beside its box. */
function beginning(text: string): string {
  const clause = /^[^,;:.(]{8,}/.exec(text)?.[0].trim() ?? text;
  return clause.length > 64 ? `${clause.slice(0, clause.lastIndexOf(' ', 60))} …` : clause;
}

/** What is missing, named, and who may set it aside. */
function groupsOf(missing: readonly Hold[]): readonly MissingGroup[] {
  const details = missing.filter((hold) => hold.id.startsWith('detail-'));
  const checks = missing.filter((hold) => hold.id.startsWith('check-'));
  const others = missing.filter((hold) => !details.includes(hold) && !checks.includes(hold));
  const item = ({ id, text }: Hold) => ({ id, text });
  return [
    ...others.map((hold) => ({ title: hold.text, never: hold.who === 'never', items: [] as MissingGroup['items'] })),
    ...(details.length > 0 ? [{ title: 'Details', never: false, items: details.map(item) }] : []),
    ...(['never', 'instructor'] as const).flatMap((who) => {
      const mine = checks.filter((hold) => hold.who === who);
      return mine.length === 0 ? [] : [{ title: mine.length === 1 ? 'One check' : `${mine.length} checks`, never: who === 'never', items: mine.map(({ id, text }) => ({ id, text: beginning(text) })) }];
    }),
  ];
}

/** What has no value when the sex used in the equations is left out, by what the lab sheet asks for. */
function voidWithoutSex(sheet: LabSheet): string | undefined {
  const things = [
    ...(sheet.results['treadmill-time'] ? ['oxygen uptake predicted from treadmill time'] : []),
    ...(sheet.results.reference.length > 0 ? ['reference values for age and sex'] : []),
    ...(sheet.results.norms.length > 0 ? ['the fitness category'] : []),
  ];
  if (things.length === 0) return undefined;
  return `May be left out. Then there is no value for ${things.join(', ')}, and questions that need one are void.`;
}
