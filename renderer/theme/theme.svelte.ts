/** Which of the two themes the window wears: what the person chose last, else what the system prefers. */
export type ThemeName = 'day' | 'dim';

const REMEMBERED = 'stagecall-theme';

export class Theme {
  #chosen = $state<ThemeName | undefined>(remembered());
  #prefersDim = $state(false);
  /** The theme now. Plots read it so that they redraw in the other theme's colours. */
  readonly name = $derived<ThemeName>(this.#chosen ?? (this.#prefersDim ? 'dim' : 'day'));

  constructor() {
    const preference = window.matchMedia('(prefers-color-scheme: dark)');
    this.#prefersDim = preference.matches;
    preference.addEventListener('change', (event) => {
      this.#prefersDim = event.matches;
      this.#show();
    });
    this.#show();
  }

  /** Changes to the other theme and remembers it. */
  toggle(): void {
    this.#chosen = this.name === 'day' ? 'dim' : 'day';
    try {
      localStorage.setItem(REMEMBERED, this.#chosen);
    } catch {
      // A window without storage still changes; it only forgets.
    }
    this.#show();
  }

  /** At once and not in an effect, so that the first paint is already right. */
  #show(): void {
    document.documentElement.dataset['theme'] = this.name;
  }
}

function remembered(): ThemeName | undefined {
  try {
    const name = localStorage.getItem(REMEMBERED);
    return name === 'day' || name === 'dim' ? name : undefined;
  } catch {
    return undefined;
  }
}
