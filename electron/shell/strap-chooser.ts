/** Electron's side of choosing a strap: feeds `policy/strap-chooser.ts` and shows what it says. */
import { dialog, type WebContents } from 'electron';
import { chooserStep, chosenStrap, SEARCH_ON, type StrapFound } from '../policy/strap-chooser.ts';

const LOOK_AGAIN_MS = 250;

/**
 * Answers a page's wish for a Bluetooth device with the person's choice.
 * Electron tells anew of every device that is heard; an empty answer cancels the page's request.
 */
export function chooseStrapFor(contents: WebContents): void {
  let search: Search | undefined;
  contents.on('select-bluetooth-device', (event, devices, callback) => {
    // Without this Electron takes the first device at once.
    event.preventDefault();
    search ??= new Search(() => (search = undefined));
    search.heard(devices, callback);
  });
}

class Search {
  readonly #began = Date.now();
  #first: number | undefined;
  #found: readonly StrapFound[] = [];
  #answer: (deviceId: string) => void = () => {};
  #asking = false;
  readonly #over: () => void;
  readonly #timer: ReturnType<typeof setInterval>;

  constructor(over: () => void) {
    this.#over = over;
    this.#timer = setInterval(() => void this.#step(), LOOK_AGAIN_MS);
  }

  heard(devices: readonly StrapFound[], answer: (deviceId: string) => void): void {
    this.#found = devices;
    this.#answer = answer;
    if (devices.length > 0) this.#first ??= Date.now();
  }

  async #step(): Promise<void> {
    if (this.#asking) return;
    const now = Date.now();
    const step = chooserStep(this.#found, this.#first === undefined ? undefined : now - this.#first, now - this.#began);
    if (step.do === 'wait') return;
    if (step.do === 'give-up') return this.#end('');
    this.#asking = true;
    const { response } = await dialog.showMessageBox({
      type: 'question',
      title: 'Stagecall',
      message: 'Which heart-rate strap does this participant wear?',
      detail: `If it is not here: is it worn, wet and awake? "${SEARCH_ON}" looks again.`,
      buttons: [...step.buttons],
      cancelId: step.buttons.length - 1,
      defaultId: 0,
      noLink: true,
    });
    this.#asking = false;
    const chosen = chosenStrap(step.straps, response);
    if (chosen === 'again') this.#first = Date.now();
    else this.#end(chosen?.deviceId ?? '');
  }

  #end(deviceId: string): void {
    clearInterval(this.#timer);
    this.#over();
    this.#answer(deviceId);
  }
}
