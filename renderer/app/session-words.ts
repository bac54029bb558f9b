/** A session in the words of the top line and the lists. */
import type { SessionSummary } from '../../core/contract/contract.ts';
import type { Phase, SessionState } from '../../core/session/state.ts';
import { formatQuantity } from '../../core/units/units.ts';
import type { View } from './router.svelte.ts';
import type { Tab } from '../shared/tab.ts';

export const phaseNames: Readonly<Record<Phase, string>> = { prepare: 'Prepare', rest: 'Rest', exercise: 'Exercise', recovery: 'Recovery', worksheet: 'Worksheet' };
const phases: readonly Phase[] = ['prepare', 'rest', 'exercise', 'recovery', 'worksheet'];

/** How the session is filled, where that has to be said; a live test says nothing. */
export function wayMark(way: SessionState['way']): string | undefined {
  return way === 'rehearsal' ? 'Rehearsal' : way === 'paper' ? 'From paper' : undefined;
}

export function wayName(way: SessionSummary['way']): string {
  return wayMark(way) ?? 'Live';
}

/** "F · 22 y · 61.4 kg": what the equations use; nothing that names anyone. */
export function participantFacts(state: SessionState): readonly string[] {
  return [
    ...(state.sex === undefined ? [] : [state.sex === 'female' ? 'F' : 'M']),
    ...(state.age === undefined ? [] : [formatQuantity(state.age, 'a', 0)]),
    ...(state.mass === undefined ? [] : [formatQuantity(state.mass, 'kg', 1)]),
  ];
}

/** The view that a session opens with: its present phase, or the sheet where it is keyed in from paper. */
export function presentView(state: SessionState): View {
  if (state.way === 'paper' && state.phase !== 'worksheet' && state.phase !== 'prepare') return 'sheet';
  return state.phase;
}

/** The phases as tabs. A phase that has not begun cannot be opened, and says so. */
export function sessionTabs(state: SessionState, current: View): readonly Tab[] {
  const reached = phases.indexOf(state.phase);
  if (state.way === 'paper') {
    return [
      { id: 'prepare', label: 'Head of the sheet', done: reached > 0, current: current === 'prepare' },
      { id: 'sheet', label: 'Readings', done: state.phase === 'worksheet', current: current === 'sheet' },
      ...gasTab(state, current),
      worksheetTab(state, current),
    ];
  }
  return phases.flatMap((phase, index): readonly Tab[] => {
    if (phase === 'worksheet') return [...gasTab(state, current), worksheetTab(state, current)];
    const here = current === phase || (phase === 'prepare' && current === 'screening');
    return [{ id: phase, label: phaseNames[phase], done: index < reached && !skipped(state, phase), current: here, ...(index > reached || skipped(state, phase) ? { closed: `${phaseNames[phase]} has not begun` } : {}) }];
  });
}

/** A session that was closed before its test began has phases that never were. */
function skipped(state: SessionState, phase: Phase): boolean {
  return state.phase === 'worksheet' && (phase === 'rest' || phase === 'exercise' || phase === 'recovery') && state.starts[phase] === undefined;
}

/** Where the sheet takes gas exchange, or a file is joined already. */
function gasTab(state: SessionState, current: View): readonly Tab[] {
  const takes = state.series.length > 0 || state.sheet.exercise?.readings.some(({ take }) => take.includes('vo2')) === true;
  if (!takes) return [];
  return [{ id: 'gas', label: 'Gas file', done: state.series.length > 0, current: current === 'gas', ...(state.starts.exercise === undefined ? { closed: 'A gas exchange file is joined once exercise has begun' } : {}) }];
}

function worksheetTab(state: SessionState, current: View): Tab {
  return { id: 'worksheet', label: 'Worksheet', current: current === 'worksheet', ...(state.phase === 'worksheet' ? {} : { closed: 'The worksheet opens when the session is closed' }) };
}
