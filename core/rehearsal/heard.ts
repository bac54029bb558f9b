/**
 * What is called out in the room of a rehearsal: the numbers that the recorder hears and types, what the tester sets and sees,
 * and what the participant says. The same pair, moments and values as the driver would write.
 */
import type { SessionData, SessionDraft } from '../session/events.ts';
import { slotKey } from '../session/events.ts';
import type { SessionState, Settings } from '../session/state.ts';
import { isUnitCode, unitOf } from '../units/units.ts';
import { readingQuantities, settingQuantities, type ReadingQuantity, type SettingQuantity } from '../vocabulary.ts';
import { nextStage } from '../session/calls.ts';
import { bodyAt, openActions } from './actions.ts';
import { castOf } from './driver.ts';
import type { Action } from './pair.ts';
import { WELL_AFTER } from './recovery.ts';
import { stopPlan, type StopWhy } from './stop.ts';

export interface Heard {
  /** Stays the same while it is heard: for lists and for sounds. */
  readonly key: string;
  readonly who: 'tester' | 'participant' | 'analyser' | 'instructor';
  /** As it is said: "heart rate 147", "116 over 74", "fifteen". */
  readonly text: string;
  /** What the recorder could type in the entry line, where there is something to type. */
  readonly entry?: string;
  /** The places on the sheet that it answers; none for what is only seen or set. */
  readonly slots: readonly string[];
  /** Since when, session time in ms. */
  readonly since: number;
}

/**
 * Everything that has been called out by `now` and not been written down yet, oldest first. A number that nobody wrote down is
 * heard until its call is given up. Meant for `records: false`; where the program records, it has written the same already.
 */
export function heardAt(state: SessionState, now: number): readonly Heard[] {
  const cast = castOf(state);
  if (!cast || state.readOnly !== undefined || state.phase === 'prepare') return [];
  const body = bodyAt(state, cast);
  const called = openActions(state, cast, body)
    .filter((action) => action.at <= now && !givenUp(state, action, now))
    .toSorted((a, b) => a.at - b.at);
  // Someone who sits is no longer heard to walk, whether that was written down or not.
  const posture = called.findLast(isPosture);
  return called
    .filter((action) => !isPosture(action) || action === posture)
    .flatMap((action) => heardIn(state, action, () => stopPlan(state, cast, body).why) ?? []);
}

const isPosture = (action: Action): boolean => action.drafts[0]?.kind === 'posture-changed';

function givenUp(state: SessionState, action: Action, now: number): boolean {
  return action.drafts.some((draft) => {
    if (draft.kind !== 'reading-taken' && draft.kind !== 'reading-not-taken') return false;
    return now > (state.slots.get(slotKey(draft.data.slot))?.scheduled?.missed ?? Infinity);
  });
}

function heardIn(state: SessionState, action: Action, why: () => StopWhy): Heard | undefined {
  const [first] = action.drafts;
  if (!first) return undefined;
  const slots = action.drafts.flatMap((draft) => (draft.kind === 'reading-taken' || draft.kind === 'reading-not-taken' ? [slotKey(draft.data.slot)] : []));
  const say = (who: Heard['who'], text: string, entry?: string): Heard => ({ key: slots[0] ?? `${first.kind}/${action.at}`, who, text, slots, since: action.at, ...(entry === undefined ? {} : { entry }) });
  switch (first.kind) {
    case 'reading-taken': {
      const readings = action.drafts.filter((draft): draft is Extract<SessionDraft, { kind: 'reading-taken' }> => draft.kind === 'reading-taken').map(({ data }) => data);
      return sayReadings(readings, say);
    }
    case 'reading-not-taken':
      return say('tester', `not taken: ${first.data.reason}`, `- ${first.data.reason}`);
    case 'stage-changed': {
      const settings = spokenSettings(nextStage(state)?.settings ?? {}, first.data.settings);
      return say('tester', `stage ${first.data.stage} set: ${settings}`, 'next');
    }
    case 'gait-seen':
      return say('tester', first.data.gait === 'run' ? 'running now' : 'walking', first.data.gait);
    case 'handrail-held':
      return say('tester', first.data.held ? 'a hand is on the rail' : 'hands are free again', first.data.held ? 'rail on' : 'rail off');
    case 'posture-changed':
      return say('tester', `${first.data.posture} now`, POSTURE_ENTRY[first.data.posture] ?? first.data.posture);
    case 'symptom-noted':
      return say('participant', `I feel ${first.data.text}.`, `symptom ${first.data.text}`);
    case 'test-stopped': {
      const [who, text] = STOPS[why()];
      return say(who, text, 'stop');
    }
    case 'criterion-seen': {
      const text = state.sheet.recovery.criteria.find(({ id }) => id === first.data.criterion)?.text ?? first.data.criterion;
      return say('instructor', first.data.met ? `seen: ${lower(text)}` : `not yet: ${lower(text)}`);
    }
    default:
      return undefined;
  }
}

const STOPS: Readonly<Record<StopWhy, readonly [Heard['who'], string]>> = {
  fatigue: ['participant', 'I cannot go on. Stop.'],
  asked: ['participant', 'I would like to stop now, please.'],
  faint: ['participant', 'I feel light-headed. Stop, please.'],
  end: ['tester', 'that was the last stage: stop'],
  covered: ['tester', 'over the line: stop'],
  cap: ['instructor', 'the heart rate has reached the cap: stop'],
  'pressure-fell': ['instructor', 'the pressure stays low: stop'],
  'pressure-high': ['instructor', 'the pressure is too high: stop'],
};

const POSTURE_ENTRY: Readonly<Record<string, string>> = { sitting: 'sit', standing: 'stand', walking: 'walks', lying: 'lie', 'lying, legs raised': 'legs' };

const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

const NUMBER_WORDS = ['six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve', 'thirteen', 'fourteen', 'fifteen', 'sixteen', 'seventeen', 'eighteen', 'nineteen', 'twenty'];
const SPOKEN: Readonly<Partial<Record<ReadingQuantity, readonly [said: string, word: string]>>> = {
  vo2: ['VO₂', 'vo2'], vco2: ['VCO₂', 'vco2'], rer: ['RER', 'rer'], ve: ['VE', 've'],
  'pulse-count': ['count', 'count'], 'bag-volume': ['bag', 'bag'], 'bag-time': ['time', 'time'], 'bag-temperature': ['temperature', 'temp'], feo2: ['oxygen', 'feo2'], feco2: ['carbon dioxide', 'feco2'],
};

function sayReadings(readings: readonly SessionData<'reading-taken'>[], say: (who: Heard['who'], text: string, entry: string) => Heard): Heard | undefined {
  const typed = (quantity: ReadingQuantity): string | undefined => readings.find(({ slot }) => slot.quantity === quantity)?.typed;
  const heart = typed('heart-rate');
  if (heart !== undefined) return say('tester', `heart rate ${heart}${readings[0]?.note === undefined ? '' : ` (${readings[0].note})`}`, heart);
  const [systolic, diastolic] = [typed('systolic'), typed('diastolic')];
  if (systolic !== undefined && diastolic !== undefined) return say('tester', `${systolic} over ${diastolic}`, `${systolic}/${diastolic}`);
  if (systolic !== undefined) return say('tester', `systolic ${systolic}`, `sys ${systolic}`);
  const rpe = typed('rpe');
  if (rpe !== undefined) return say('participant', NUMBER_WORDS[Number(rpe) - 6] ?? rpe, `r${rpe}`);
  const parts = readings.map(({ slot, typed: value }) => ({ value, spoken: SPOKEN[slot.quantity as ReadingQuantity] ?? ([readingQuantities[slot.quantity as ReadingQuantity].label, slot.quantity] as const) }));
  if (parts.length === 0) return undefined;
  return say('analyser', parts.map(({ value, spoken }) => `${spoken[0]} ${value}`).join(', '), parts.map(({ value, spoken }) => `${spoken[1]} ${value}`).join(' '));
}

/** "4.2 mph, 16 %"; what stands otherwise than planned is said as it stands. */
function spokenSettings(planned: Settings, written: SessionData<'stage-changed'>['settings']): string {
  const said: string[] = [];
  for (const name of Object.keys(planned) as SettingQuantity[]) {
    const setting = written?.[name] ?? planned[name];
    if (!setting) continue;
    const unit = isUnitCode(setting.unit) ? setting.unit : settingQuantities[name].unit;
    said.push(`${setting.typed} ${unitOf(unit).label}${written?.[name] ? ` instead of ${planned[name]?.typed}` : ''}`);
  }
  return said.join(', ');
}

export interface Saying {
  readonly text: string;
  /** The participant wants the test to end. */
  readonly stop: boolean;
}

/** Half a minute before it ends by fatigue, people say so. */
const NEARLY = 30_000;

/** What the participant says now; undefined when there is no breath or reason to speak. */
export function participantSays(state: SessionState, now: number): Saying | undefined {
  const cast = castOf(state);
  if (!cast || state.readOnly !== undefined) return undefined;
  const body = bodyAt(state, cast);
  if (state.phase === 'exercise') {
    const { at, why } = stopPlan(state, cast, body);
    const [who, text] = STOPS[why];
    const since = why === 'faint' || why === 'asked' ? body.turns : at;
    if (who === 'participant' && now >= since) return { text, stop: true };
    if (why === 'fatigue' && now >= at - NEARLY) return { text: 'Nearly done.', stop: false };
    return undefined;
  }
  if (state.phase !== 'recovery' || cast.participant.behaviour !== 'faint' || body.turns > now) return undefined;
  const since = now - body.turns;
  if (since < 45_000) return { text: 'I feel light-headed.', stop: false };
  if (since < WELL_AFTER) return { text: 'A little better.', stop: false };
  return since < WELL_AFTER + 60_000 ? { text: 'I feel fine now.', stop: false } : undefined;
}
