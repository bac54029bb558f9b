/** The set's present key as text, asked for once a version. */
import type { SetKeyText } from '../../core/contract/set-class.ts';
import type { SetDesk } from './set-desk.svelte.ts';

class KeyText {
  now = $state.raw<SetKeyText | undefined>();
  version: string | undefined;
}
const texts = new WeakMap<SetDesk, KeyText>();

export function keyTextOf(desk: SetDesk): { readonly now: SetKeyText | undefined } {
  const known = texts.get(desk) ?? new KeyText();
  texts.set(desk, known);
  const hash = desk.view?.key?.hash;
  if (hash !== known.version) {
    known.version = hash;
    void ask(desk, known, hash);
  }
  return known;
}

async function ask(desk: SetDesk, known: KeyText, version: string | undefined): Promise<void> {
  const answer = await desk.app.station.api.call('set.key', { set: desk.id });
  if (known.version === version) known.now = answer.ok ? answer.value : undefined;
}
