/** Where the window is, kept in the address after `#/`, so that back, reload and a second window work as people expect. */
export type View = 'prepare' | 'screening' | 'rest' | 'exercise' | 'recovery' | 'sheet' | 'worksheet';
const views: readonly View[] = ['prepare', 'screening', 'rest', 'exercise', 'recovery', 'sheet', 'worksheet'];

export type Place =
  | { readonly screen: 'sessions' }
  /** Without a view: the one of the session's present phase. */
  | { readonly screen: 'session'; readonly session: string; readonly view?: View; readonly worksheet?: string }
  /** The second window: nothing private, nothing to type in. */
  | { readonly screen: 'wall'; readonly session: string }
  | { readonly screen: 'marking' }
  | { readonly screen: 'formulas'; readonly formula?: string };

/** Reads the part of the address after `#`. Anything that is not a place is the first screen. */
export function placeOf(hash: string): Place {
  const [, screen, id, view, more] = hash.replace(/^#/, '').split('/').map(decoded);
  if (screen === 'session' && id) {
    const known = views.find((name) => name === view);
    return { screen, session: id, ...(known === undefined ? {} : { view: known }), ...(known === 'worksheet' && more ? { worksheet: more } : {}) };
  }
  if (screen === 'wall' && id) return { screen, session: id };
  if (screen === 'marking') return { screen };
  if (screen === 'formulas') return { screen, ...(id ? { formula: id } : {}) };
  return { screen: 'sessions' };
}

/** The address of a place, `#/…`. */
export function hashOf(place: Place): string {
  const parts: readonly (string | undefined)[] =
    place.screen === 'session' ? ['session', place.session, place.view, place.worksheet] : place.screen === 'wall' ? ['wall', place.session] : place.screen === 'formulas' ? ['formulas', place.formula] : place.screen === 'marking' ? ['marking'] : [];
  return `#/${parts.filter((part) => part !== undefined).map(encodeURIComponent).join('/')}`;
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return '';
  }
}

export class Router {
  place = $state.raw<Place>(placeOf(location.hash));

  constructor() {
    window.addEventListener('hashchange', () => (this.place = placeOf(location.hash)));
  }

  go(place: Place): void {
    this.place = place;
    if (location.hash !== hashOf(place)) location.hash = hashOf(place);
  }
}
