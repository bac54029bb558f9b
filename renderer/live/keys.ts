/**
 * Which key does what on the live sheet. Only keys that a browser tab hands to the page: function keys that a page may
 * claim (never F5, F11 or F12), and Alt with a letter that no browser menu uses (never D, E or F).
 */
export type Direction = 'up' | 'down' | 'left' | 'right';
type Plain = 'stop' | 'next' | 'enter' | 'cancel' | 'undo' | 'strike' | 'symptom' | 'why' | 'emergency' | 'sound' | 'rail' | 'gait' | 'posture' | 'units' | 'strap' | 'pointed' | 'wall' | 'told' | 'faster' | 'slower';
export type KeyAction = { readonly do: Plain } | { readonly do: 'aim'; readonly direction: Direction };

export interface Shortcut {
  /** As printed on the keyboard, the ones pressed together with a space between. */
  readonly keys: string;
  readonly does: string;
  readonly action: KeyAction['do'];
}

/** Every key of the live sheet: the help shows this list, `actionOf` reads it, and a test presses each with a real keyboard's events. */
export const liveShortcuts: readonly Shortcut[] = [
  { keys: 'Enter', does: 'record what is typed', action: 'enter' },
  { keys: 'Ctrl Enter', does: 'stop the test', action: 'stop' },
  { keys: 'F2', does: 'next step: start, stage changed now, close', action: 'next' },
  { keys: 'Space', does: 'stage changed now, on an empty line', action: 'next' },
  { keys: 'F4', does: 'symptom', action: 'symptom' },
  { keys: 'F6', does: 'why not taken, why stopped, or a note', action: 'why' },
  { keys: 'Ctrl Z', does: 'take back the last entry', action: 'undo' },
  { keys: '← ↑ → ↓', does: 'aim at a cell', action: 'aim' },
  { keys: 'Esc', does: 'back to the call; empties the line', action: 'cancel' },
  { keys: 'Delete', does: 'strike the cell that is aimed at', action: 'strike' },
  { keys: 'Alt H', does: 'heart rate from the strap, or choose one', action: 'strap' },
  { keys: 'Alt B', does: 'the number pointed at on the wall', action: 'pointed' },
  { keys: 'Alt I', does: 'the instructor has been told', action: 'told' },
  { keys: 'Alt R', does: 'hand on the rail, or off', action: 'rail' },
  { keys: 'Alt G', does: 'gait seen: walk or run', action: 'gait' },
  { keys: 'Alt P', does: 'posture', action: 'posture' },
  { keys: 'Alt U', does: 'mph or km/h', action: 'units' },
  { keys: 'Alt .', does: 'rehearsal: faster', action: 'faster' },
  { keys: 'Alt ,', does: 'rehearsal: slower', action: 'slower' },
  { keys: 'F1', does: 'emergency text', action: 'emergency' },
  { keys: 'F8', does: 'sounds', action: 'sound' },
  { keys: 'F9', does: 'second window for the wall', action: 'wall' },
];

export interface Pressed {
  readonly key: string;
  /** The place on the keyboard, for layouts where Alt makes another sign of a letter. */
  readonly code: string;
  readonly ctrlKey: boolean;
  readonly altKey: boolean;
  readonly metaKey: boolean;
  readonly shiftKey: boolean;
  readonly repeat: boolean;
  /** While an input method composes, its keys are its own. */
  readonly isComposing: boolean;
}

const arrows: Readonly<Record<string, Direction>> = { ArrowUp: 'up', ArrowDown: 'down', ArrowLeft: 'left', ArrowRight: 'right' };
/** Keys that stand alone and mean the same whatever is typed, and letters with Alt, from the list. */
const plain = new Map(liveShortcuts.flatMap(({ keys, action }) => (/^(F\d+|Enter|Esc)$/.test(keys) && action !== 'aim' ? [[keys === 'Esc' ? 'Escape' : keys, action] as const] : [])));
const withAlt = new Map(liveShortcuts.flatMap(({ keys, action }) => (keys.startsWith('Alt ') && action !== 'aim' ? [[keys.slice('Alt '.length).toLowerCase(), action] as const] : [])));

/**
 * @param line what stands in the entry line: a space, the arrows and Delete mean something else while one is typing.
 * @returns undefined for a key that is the page's or the browser's own.
 */
export function actionOf(pressed: Pressed, line: string): KeyAction | undefined {
  if (pressed.isComposing) return undefined;
  const control = pressed.ctrlKey || pressed.metaKey;
  if (control && !pressed.altKey && pressed.key === 'Enter') return pressed.repeat ? undefined : { do: 'stop' };
  if (control && !pressed.altKey && !pressed.shiftKey && pressed.key.toLowerCase() === 'z') return line === '' ? { do: 'undo' } : undefined;
  if (control) return undefined;
  if (pressed.altKey) {
    const action = withAlt.get(pressed.key.toLowerCase()) ?? withAlt.get(letterAt(pressed.code));
    return action === undefined || pressed.repeat ? undefined : { do: action };
  }
  const direction = arrows[pressed.key];
  if (direction && !pressed.shiftKey) return line === '' || direction === 'up' || direction === 'down' ? { do: 'aim', direction } : undefined;
  if (pressed.shiftKey) return undefined;
  if ((pressed.key === 'Delete' || pressed.key === 'Backspace') && line === '') return pressed.repeat ? undefined : { do: pressed.key === 'Delete' ? 'strike' : 'cancel' };
  if (pressed.key === ' ' && line === '') return pressed.repeat ? undefined : { do: 'next' };
  const action = plain.get(pressed.key);
  return action === undefined || pressed.repeat ? undefined : { do: action };
}

function letterAt(code: string): string {
  return /^Key([A-Z])$/.exec(code)?.[1]?.toLowerCase() ?? (code === 'Period' ? '.' : code === 'Comma' ? ',' : '');
}
