/** Where the window is, kept in the address after `#/`, so that back, reload and a second window work as people expect. */
export type View = 'prepare' | 'screening' | 'rest' | 'exercise' | 'recovery' | 'sheet' | 'gas' | 'worksheet';
const views: readonly View[] = ['prepare', 'screening', 'rest', 'exercise', 'recovery', 'sheet', 'gas', 'worksheet'];

export type Place =
  | { readonly screen: 'sessions' }
  /** Without a view: the one of the session's present phase. */
  | { readonly screen: 'session'; readonly session: string; readonly view?: View; readonly worksheet?: string }
  /** The second window: nothing private, nothing to type in. */
  | { readonly screen: 'wall'; readonly session: string }
  /** The station's profile and passphrase. */
  | { readonly screen: 'station' }
  /** Without a set: the list of sets. With a file: that worksheet. */
  | { readonly screen: 'marking'; readonly set?: string; readonly file?: string }
  | { readonly screen: 'class'; readonly set?: string }
  | { readonly screen: 'formulas'; readonly formula?: string };

/** Reads the part of the address after `#`. Anything that is not a place is the first screen. */
export function placeOf(hash: string): Place {
  const [, screen, id, view, more] = hash.replace(/^#/, '').split('/').map(decoded);
  if (screen === 'session' && id) {
    const known = views.find((name) => name === view);
    return { screen, session: id, ...(known === undefined ? {} : { view: known }), ...(known === 'worksheet' && more ? { worksheet: more } : {}) };
  }
  if (screen === 'wall' && id) return { screen, session: id };
  if (screen === 'station') return { screen };
  if (screen === 'marking') return { screen, ...(id ? { set: id, ...(view ? { file: view } : {}) } : {}) };
  if (screen === 'class') return { screen, ...(id ? { set: id } : {}) };
  if (screen === 'formulas') return { screen, ...(id ? { formula: id } : {}) };
  return { screen: 'sessions' };
}

/** The address of a place, `#/…`. */
export function hashOf(place: Place): string {
  const parts = partsOf(place).filter((part) => part !== undefined);
  return `#/${parts.map(encodeURIComponent).join('/')}`;
}

function partsOf(place: Place): readonly (string | undefined)[] {
  switch (place.screen) {
    case 'sessions':
      return [];
    case 'session':
      return ['session', place.session, place.view, place.worksheet];
    case 'wall':
      return ['wall', place.session];
    case 'station':
      return ['station'];
    case 'marking':
      return ['marking', place.set, place.set === undefined ? undefined : place.file];
    case 'class':
      return ['class', place.set];
    case 'formulas':
      return ['formulas', place.formula];
  }
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
