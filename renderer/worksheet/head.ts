/** The head of a record in words. */
import { formatClock } from '../../core/clock-text.ts';
import { holdsOf } from '../../core/session/holds.ts';
import type { SessionState } from '../../core/session/state.ts';
import { unitOf, isUnitCode } from '../../core/units/units.ts';
import { detailQuantities, type DetailId } from '../../core/vocabulary.ts';
import { wayMark } from '../app/session-words.ts';
import { wallText } from '../shared/wall-text.ts';

export interface Head {
  readonly facts: readonly { readonly label: string; readonly text: string }[];
  readonly setAside: readonly string[];
}

const shown: readonly DetailId[] = ['participant-code', 'sex', 'age', 'height', 'mass', 'temperature', 'pressure', 'humidity', 'recorder', 'tester', 'course', 'group', 'term', 'ergometer'];

export function headOf(state: SessionState): Head {
  const way = wayMark(state.way);
  const detail = (id: DetailId): readonly { label: string; text: string }[] => {
    const entered = state.details[id];
    if (!entered) return [];
    const bare = entered.value !== undefined && !/[a-z°%'"]/i.test(entered.typed);
    const unit = bare && isUnitCode(entered.unit) ? ` ${unitOf(entered.unit).label}` : '';
    return [{ label: detailQuantities[id].short, text: `${entered.typed}${unit}` }];
  };
  const exercise = state.starts.exercise;
  return {
    facts: [
      ...(way === undefined ? [] : [{ label: 'Filled', text: way }]),
      { label: state.way === 'paper' ? 'Keyed in' : 'Begun', text: wallText(state.openedWall) },
      ...shown.flatMap(detail),
      ...(state.stop && exercise !== undefined ? [{ label: 'Stopped', text: `${formatClock(state.stop.taken - exercise)}${state.stop.reason === undefined ? '' : `, ${state.stop.reason}`}` }] : []),
      ...state.series.slice(-1).map(({ name, rows, perBreath, author }) => ({ label: 'Gas file', text: `${name}, ${rows} ${perBreath ? 'breaths' : 'rows of means'}, joined by ${author}` })),
      ...(state.closing ? [{ label: 'Ended', text: endText(state.closing, state.way) }] : []),
    ],
    setAside: [
      ...holdsOf(state).flatMap((hold) => (hold.overridden && !hold.met ? [`${hold.text}. ${hold.overridden.initials}: ${hold.overridden.reason}`] : [])),
      ...(state.closing?.early ? [`leaving criteria. ${state.closing.early.initials}: ${state.closing.early.reason}`] : []),
    ],
  };
}

function endText(closing: NonNullable<SessionState['closing']>, way: SessionState['way']): string {
  if (closing.outcome === 'abandoned') return 'no test was made';
  if (closing.outcome === 'handed-over') return `handed over${closing.to === undefined ? '' : ` to ${closing.to}`}`;
  if (way === 'paper') return 'as written';
  return closing.early ? 'left early' : 'left, criteria met';
}
