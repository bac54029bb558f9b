/**
 * The entry line: what was heard, typed in the order it was heard, becomes drafts for the record.
 * Nothing is written here. The window shows `says` before Enter, so that a number never lands in a surprising place.
 */
import { formatClock } from '../clock-text.ts';
import { dimensionOf, isUnitCode, parseQuantity, unitFromText, unitOf, type UnitCode } from '../units/units.ts';
import { postures, readingQuantities, settingQuantities, type Posture, type ReadingQuantity, type SettingQuantity } from '../vocabulary.ts';
import { callsAt, type TakeCall } from './calls.ts';
import type { SessionDraft, SessionData, Slot } from './events.ts';
import { slotKey } from './events.ts';
import { judgePressure, judgeReading, readingLimits } from './plausible.ts';
import { phaseAt, resolveSlot } from './place.ts';
import type { SessionState } from './state.ts';

export interface EntryReading {
  readonly state: 'empty' | 'incomplete' | 'ready' | 'refused';
  /** What Enter will record and for which slot, or what is wrong. */
  readonly says: string;
  /** A soft limit: Enter once more keeps it. */
  readonly ask?: string;
  readonly drafts: readonly SessionDraft[];
  /** Something that is not a reading. */
  readonly command?: 'stop' | 'stage' | 'undo';
}

const nothing: EntryReading = { state: 'empty', says: '', drafts: [] };
const refused = (says: string): EntryReading => ({ state: 'refused', says, drafts: [] });
const incomplete = (says: string): EntryReading => ({ state: 'incomplete', says, drafts: [] });

/** Words for the quantities, as they are said and typed. Trade terms and their plain abbreviations. */
const quantityWords: Readonly<Record<string, ReadingQuantity>> = {
  hr: 'heart-rate', h: 'heart-rate', heart: 'heart-rate', pulse: 'heart-rate',
  r: 'rpe', rpe: 'rpe',
  vo2: 'vo2', o2: 'vo2', vco2: 'vco2', co2: 'vco2', rer: 'rer', ve: 've', v: 've',
  count: 'pulse-count', bag: 'bag-volume', vol: 'bag-volume', time: 'bag-time', temp: 'bag-temperature', feo2: 'feo2', feco2: 'feco2',
  sbp: 'systolic', sys: 'systolic', dbp: 'diastolic', dia: 'diastolic',
};
const callWords: Readonly<Record<string, readonly ReadingQuantity[]>> = {
  bp: ['systolic', 'diastolic'],
  gas: ['vo2', 'vco2', 'rer', 've'],
};
const postureWords: Readonly<Record<string, Posture>> = {
  sit: 'sitting', sits: 'sitting', lie: 'lying', lies: 'lying', stand: 'standing', stands: 'standing', walks: 'walking',
  ...Object.fromEntries(postures.map((posture) => [posture, posture])),
  legs: 'lying, legs raised',
};

export interface Aim {
  /** A cell that was clicked: the next bare value goes there. */
  readonly slot?: Slot;
  /** Whose entry it is: only one's own reading is amended; another's stays and the sheet says that they differ. */
  readonly author?: string;
  /** The unit of speed that the window shows, for a speed that is typed without one. */
  readonly speedUnit?: UnitCode;
  /** The unit of an oxygen uptake that is typed without one, by the station's profile. */
  readonly uptakeUnit?: UnitCode;
}

/**
 * Reads an entry line.
 * @param text what is in the line; @param now session time.
 */
export function readEntry(state: SessionState, text: string, now: number, aim: Aim = {}): EntryReading {
  const line = text.trim();
  if (line === '') return nothing;
  if (line.length > 300) return refused('That is too long for the entry line. Use a note for long text.');
  const [head = '', ...rest] = line.split(/\s+/);
  const word = head.toLowerCase();
  const tail = line.slice(head.length).trim();
  const single = (draft: SessionDraft, says: string): EntryReading => ({ state: 'ready', says, drafts: [draft] });

  if (word === 'stop' && rest.length === 0) return { state: 'ready', says: 'stops the test now', drafts: [], command: 'stop' };
  if (word === 'undo' && rest.length === 0) return { state: 'ready', says: 'takes back your last entry', drafts: [], command: 'undo' };
  if (word === 'next' && rest.length === 0) return { state: 'ready', says: 'marks the stage change now', drafts: [], command: 'stage' };
  if (word === 'note' || word === 'n') return tail === '' ? incomplete('note: type it') : single({ kind: 'note-added', data: { text: tail } }, `notes "${tail}"`);
  if (word === 'symptom' || word === 'sy') return tail === '' ? incomplete('symptom: type what is said or seen') : single({ kind: 'symptom-noted', data: { text: tail } }, `notes a symptom: "${tail}"`);
  if (word === 'set') return readSetting(state, tail, aim);
  if (word === 'walk' || word === 'run' || word === 'gait') {
    const gait = word === 'gait' ? tail.toLowerCase() : word;
    if (state.phase !== 'recovery') return gait === 'walk' || gait === 'run' ? single({ kind: 'gait-seen', data: { gait } }, `gait seen: ${gait}`) : incomplete('gait: walk or run');
  }
  if (word === 'rail') {
    const held = /^(on|held|yes|hand)?$/i.test(tail) ? true : /^(off|free|no)$/i.test(tail) ? false : undefined;
    return held === undefined ? incomplete('rail on, or rail off') : single({ kind: 'handrail-held', data: { held } }, held ? 'hand on the rail from now' : 'hand off the rail from now');
  }
  const posture = postureWords[line.toLowerCase()] ?? (rest.length === 0 || word === 'lie' ? postureWords[word] : undefined);
  if (posture && (state.phase === 'recovery' || state.phase === 'rest')) return single({ kind: 'posture-changed', data: { posture } }, `posture from now: ${posture}`);
  if (word === '-' || word === '−' || word === 'no' || word === 'not') return readNotTaken(state, tail, now, aim);
  return readReadings(state, line, now, aim);
}

function readNotTaken(state: SessionState, tail: string, now: number, aim: Aim): EntryReading {
  const [first = '', ...others] = tail.split(/\s+/);
  const named = callWords[first.toLowerCase()] ?? (quantityWords[first.toLowerCase()] ? [quantityWords[first.toLowerCase()] as ReadingQuantity] : undefined);
  const reason = named ? others.join(' ') : tail;
  const slots = aim.slot
    ? [aim.slot]
    : named
      ? named.map((quantity) => resolveSlot(state, quantity, now)).filter((slot) => state.slots.get(slotKey(slot))?.scheduled)
      : (openTakes(state, now)[0]?.slots.map((slot) => slot.slot) ?? []);
  if (slots.length === 0) return refused('Nothing is called for just now that could be marked as not taken.');
  const what = slots.map((slot) => spoken(slot.quantity as ReadingQuantity)).join(' and ');
  if (reason === '') return incomplete(`${what}: not taken, because …`);
  return { state: 'ready', says: `${what}, ${placeText(slots[0])}: not taken, "${reason}"`, drafts: slots.map((slot) => ({ kind: 'reading-not-taken', data: { slot, reason } })) };
}

function readSetting(state: SessionState, tail: string, aim: Aim): EntryReading {
  const stage = state.stages.at(-1);
  if (!stage) return refused('No stage has been set yet.');
  const settings: NonNullable<SessionData<'setting-recorded'>['settings']> = {};
  const said: string[] = [];
  // "6.6 km/h 16 %", "6.6 16", "speed 6.6", "120 W": a number with its unit, or the plan's settings in their order.
  const order = Object.keys(stage.planned) as SettingQuantity[];
  const parts = tail.match(/(?:(speed|grade|load|cadence)\s+)?\d[\d.,]*\s*(?:km\/h|kph|kmh|mph|mi\/h|m\/min|m\/s|%|w|watts?|kg\.?m\/min|kpm\/min|rpm|\/min)?/gi) ?? [];
  for (const part of parts) {
    const named = /^(speed|grade|load|cadence)\s+(.*)$/i.exec(part);
    const amount = (named?.[2] ?? part).trim();
    const quantity = (named?.[1]?.toLowerCase() as SettingQuantity | undefined) ?? settingFor(amount, order.filter((name) => settings[name] === undefined));
    if (!quantity) return refused(`"${amount}" is not a setting of this test.`);
    const unit = (quantity === 'speed' ? aim.speedUnit : undefined) ?? stage.planned[quantity]?.unit ?? settingQuantities[quantity].unit;
    const parsed = parseQuantity(amount, { defaultUnit: unit });
    if (!parsed.ok) return refused(parsed.error.message);
    settings[quantity] = { typed: amount.replace(/[^\d.,].*$/, ''), unit: parsed.unit };
    said.push(`${parsed.value} ${unitOf(parsed.unit).label}`);
  }
  if (said.length === 0) return incomplete('set: the value that the machine shows, like "6.6 km/h 16 %"');
  return { state: 'ready', says: `stage ${stage.number} is set to ${said.join(', ')}`, drafts: [{ kind: 'setting-recorded', data: { stage: stage.number, settings } }] };
}

function settingFor(amount: string, open: readonly SettingQuantity[]): SettingQuantity | undefined {
  const unitText = amount.replace(/^[\d.,]+\s*/, '');
  if (unitText === '') return open[0];
  return (Object.keys(settingQuantities) as SettingQuantity[]).find((quantity) => unitFromText(unitText, dimensionOf(settingQuantities[quantity].unit)) !== undefined && (open.includes(quantity) || open.length === 0));
}

function openTakes(state: SessionState, now: number): readonly TakeCall[] {
  return callsAt(state, now).filter((call): call is TakeCall => call.kind === 'take' && call.status !== 'to-come');
}

interface Heard {
  readonly quantity: ReadingQuantity;
  readonly typed: string;
  readonly unit: UnitCode;
  readonly heard?: string;
}

/** Splits "147 116/74 r12 vo2 2.41" into readings, then places and judges each. */
function readReadings(state: SessionState, line: string, now: number, aim: Aim): EntryReading {
  const tokens = line.replace(/(\d)\s*\/\s*(\d)/g, '$1/$2').split(/\s+/);
  const heard: Heard[] = [];
  const usedByBare = new Set<ReadingQuantity>();
  for (let index = 0; index < tokens.length; index += 1) {
    const token = tokens[index] ?? '';
    const pressure = /^(\d{1,3})\/(\d{0,3})$/.exec(token);
    if (pressure) {
      const [, systolic = '', diastolic = ''] = pressure;
      if (diastolic === '' || (diastolic.length === 1 && diastolic !== '0')) return incomplete(`systolic ${systolic}, diastolic ${diastolic}… mmHg`);
      const judged = judgePressure(Number(systolic), Number(diastolic));
      if (judged.level === 'refuse' && diastolic !== '0') return diastolic.length < 2 ? incomplete(`systolic ${systolic}, diastolic ${diastolic}…`) : refused(judged.message);
      heard.push({ quantity: 'systolic', typed: systolic, unit: 'mm[Hg]', heard: token }, { quantity: 'diastolic', typed: diastolic, unit: 'mm[Hg]', heard: token });
      continue;
    }
    const glued = /^([a-z]+)(\d[\d.,]*)$/i.exec(token);
    const name = (glued && quantityWords[glued[1]?.toLowerCase() ?? ''] ? glued[1] : token)?.toLowerCase() ?? '';
    const quantity = quantityWords[name];
    if (callWords[name]) continue; // "bp 116/74": the word only announces what follows
    if (quantity) {
      const number = glued && quantityWords[glued[1]?.toLowerCase() ?? ''] ? glued[2] : tokens[++index];
      if (number === undefined) return incomplete(`${spoken(quantity)} …`);
      const unitText = tokens[index + 1];
      const unit = unitText === undefined || /^[\d\-−]/.test(unitText) ? undefined : unitFor(quantity, unitText);
      if (unit !== undefined) index += 1;
      heard.push({ quantity, typed: number, unit: unit ?? (quantity === 'vo2' ? aim.uptakeUnit : undefined) ?? readingQuantities[quantity].unit });
      continue;
    }
    if (/^\d[\d.,]*$/.test(token)) {
      const fits = bareFits(state, token, now, usedByBare, aim);
      if (!fits) return refused(fitsNothing(state, token, now));
      usedByBare.add(fits);
      heard.push({ quantity: fits, typed: token, unit: readingQuantities[fits].unit });
      continue;
    }
    const close = Object.keys(quantityWords).some((known) => known.startsWith(token.toLowerCase())) || 'stop note symptom undo set rail gait next'.split(' ').some((known) => known.startsWith(token.toLowerCase()));
    return close && index === tokens.length - 1 ? incomplete(`${token}…`) : refused(`"${token}" is not understood. Type for example 147, 116/74, r12, vo2 2.41, rer 1.04, note …`);
  }
  return place(state, heard, now, aim);
}

function unitFor(quantity: ReadingQuantity, text: string): UnitCode | undefined {
  const { accepts } = readingQuantities[quantity];
  if (isUnitCode(text) && accepts.includes(text)) return text;
  for (const dimension of new Set(accepts.map(dimensionOf))) {
    const unit = unitFromText(text, dimension);
    if (unit !== undefined && accepts.includes(unit)) return unit;
  }
  return undefined;
}

/** A bare value goes to the first open call that it fits; without one, to what a number of that size usually is. */
function bareFits(state: SessionState, token: string, now: number, used: ReadonlySet<ReadingQuantity>, aim: Aim): ReadingQuantity | undefined {
  const value = Number(token.replace(',', '.'));
  const fits = (quantity: ReadingQuantity): boolean => {
    const [low, high] = readingLimits[quantity].hard;
    return value >= low && value <= high && (quantity !== 'rpe' || Number.isInteger(value)) && (quantity !== 'heart-rate' || Number.isInteger(value));
  };
  if (aim.slot && used.size === 0) {
    const aimed = aim.slot.quantity as ReadingQuantity;
    return aimed;
  }
  for (const call of openTakes(state, now)) {
    for (const { slot } of call.slots) {
      // Pressures come as a pair; a lone number is never a pressure.
      if (slot.quantity === 'systolic' || slot.quantity === 'diastolic' || used.has(slot.quantity)) continue;
      if (fits(slot.quantity)) return slot.quantity;
    }
  }
  // Between 6 and 20 only RPE, from 25 on only a pulse is said as a bare whole number.
  for (const quantity of ['heart-rate', 'rpe'] as const) if (!used.has(quantity) && fits(quantity)) return quantity;
  return undefined;
}

/** A bare number that cannot be what is called for is refused with that quantity's range. */
function fitsNothing(state: SessionState, token: string, now: number): string {
  const called = openTakes(state, now)[0]?.slots[0]?.slot.quantity;
  const say = `say what it is, for example "hr ${token}"`;
  if (called === undefined || called === 'systolic' || called === 'diastolic') return `${token}: ${say}. Nothing that is called for fits it.`;
  const [low, high] = readingLimits[called].hard;
  const unit = unitOf(readingQuantities[called].unit).label;
  return `${token} cannot be ${spoken(called)}: ${low} to ${high}${unit === '' ? '' : ` ${unit}`}. If it is something else, ${say}.`;
}

function place(state: SessionState, heard: readonly Heard[], now: number, aim: Aim): EntryReading {
  if (heard.length === 0) return incomplete('…');
  const drafts: SessionDraft[] = [];
  const said: string[] = [];
  const asks: string[] = [];
  for (const item of heard) {
    const slot: Slot = aim.slot && aimFits(aim.slot, item.quantity) ? { ...aim.slot, quantity: item.quantity } : resolveSlot(state, item.quantity, now);
    const judged = judgeReading(state, slot, item.quantity, item.typed, item.unit);
    // While a number is being typed its first digits are not yet wrong.
    if (judged.level === 'refuse') return item.typed.length < 2 && item.quantity !== 'rpe' ? incomplete(`${spoken(item.quantity)} ${item.typed}…`) : refused(judged.message);
    if (judged.level === 'ask') asks.push(judged.message);
    const before = state.slots.get(slotKey(slot))?.readings.findLast((reading) => !reading.struck && reading.amendedBy === undefined && (aim.author === undefined || reading.author === aim.author));
    const other = before ? undefined : state.slots.get(slotKey(slot))?.current;
    said.push(`${spoken(item.quantity)} ${item.typed} ${item.quantity === 'rpe' || item.quantity === 'rer' ? '' : unitOf(item.unit).label}${before ? ` (amends ${before.typed})` : other ? ` (beside ${other.typed}, ${other.author})` : ''}`.trim());
    drafts.push({ kind: 'reading-taken', data: { slot, typed: item.typed, unit: item.unit, ...(item.heard === undefined ? {} : { heard: item.heard }), ...(judged.level === 'ask' ? { confirmed: true } : {}) },
      // A correction describes the same moment as the value that it corrects; it does not make the reading late.
      ...(before === undefined ? {} : { taken: before.taken }) });
  }
  const first = drafts[0];
  const at = first?.kind === 'reading-taken' ? placeText(first.data.slot) : '';
  const moment = first?.taken ?? now;
  const start = state.starts[phaseAt(state, moment)] ?? 0;
  return { state: 'ready', says: `${said.join(', ')}, ${at}, taken ${formatClock(moment - start)}`, ...(asks.length === 0 ? {} : { ask: asks.join(' ') }), drafts };
}

function aimFits(slot: Slot, quantity: ReadingQuantity): boolean {
  const pressures = ['systolic', 'diastolic'];
  return slot.quantity === quantity || (pressures.includes(slot.quantity) && pressures.includes(quantity));
}

/** A quantity as the pair says it to each other. */
function spoken(quantity: ReadingQuantity): string {
  if (quantity === 'systolic' || quantity === 'diastolic') return quantity;
  if (quantity === 'heart-rate') return 'heart rate';
  return readingQuantities[quantity].short;
}

/** A slot's place in words: "stage 3, minute 2", "recovery, 4 min", "rest". */
export function placeText(slot: Slot | undefined): string {
  if (!slot) return '';
  const minute = /^m(\d+)$/.exec(slot.mark)?.[1];
  const when = minute !== undefined ? `minute ${minute}` : slot.mark === 'end' ? 'end' : slot.mark === 'stop' ? 'at stop' : slot.mark.startsWith('@') ? `at ${slot.mark.slice(1)}, not on the schedule` : '';
  if (slot.phase === 'exercise') return `stage ${slot.stage ?? '?'}${when === '' || when === 'end' ? '' : `, ${when}`}`;
  if (slot.phase === 'recovery') return minute === '0' ? 'recovery, at once' : `recovery${when === '' ? '' : `, ${when}`}`;
  return 'rest';
}
