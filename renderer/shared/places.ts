/** The places outside a session, as tabs. */
import type { Tab } from './tab.ts';

export function placeTabs(current: 'sessions' | 'marking' | 'formulas'): readonly Tab[] {
  return [
    { id: 'sessions', label: 'Sessions' },
    { id: 'marking', label: 'Marking' },
    { id: 'formulas', label: 'Formulas' },
  ].map((tab) => ({ ...tab, current: tab.id === current }));
}
