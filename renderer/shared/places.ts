/** The places outside a session, as tabs. */
import type { Router } from '../app/router.svelte.ts';
import type { Tab } from './tab.ts';

const places = [
  { id: 'sessions', label: 'Sessions' },
  { id: 'marking', label: 'Marking' },
  { id: 'class', label: 'Class' },
  { id: 'formulas', label: 'Formulas' },
  { id: 'station', label: 'This station' },
] as const;
type PlaceId = (typeof places)[number]['id'];

export function placeTabs(current: PlaceId): readonly Tab[] {
  return places.map((tab) => ({ ...tab, current: tab.id === current }));
}

/** Goes to the place of a tab. */
export function goToPlace(router: Router, id: string): void {
  router.go({ screen: places.find((place) => place.id === id)?.id ?? 'sessions' });
}
