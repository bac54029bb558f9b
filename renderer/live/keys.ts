/**
 * Which key does what on the live sheet. Only keys that a browser tab hands to the page: function keys that a page may
 * claim (never F5, F11 or F12), and Alt with a letter that no browser menu uses (never D, E or F).
 */
export type Direction = 'up' | 'down' | 'left' | 'right';
export type KeyAction =
  | { readonly do: 'stop' | 'next' | 'enter' | 'cancel' | 'undo' | 'strike' | 'symptom' | 'why' | 'emergency' | 'sound' | 'rail' | 'gait' | 'posture' | 'units' | 'faster' | 'slower' }
  | { readonly do: 'aim'; readonly direction: Direction };

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
const plain: Readonly<Record<string, Exclude<KeyAction, { do: 'aim' }>['do']>> = {
  F1: 'emergency',
  F2: 'next',
  F4: 'symptom',
  F6: 'why',
  F8: 'sound',
  Enter: 'enter',
  Escape: 'cancel',
};
const withAlt: Readonly<Record<string, Exclude<KeyAction, { do: 'aim' }>['do']>> = { r: 'rail', g: 'gait', p: 'posture', u: 'units', '.': 'faster', ',': 'slower' };

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
    const action = withAlt[pressed.key.toLowerCase()] ?? withAlt[letterAt(pressed.code)];
    return action === undefined || pressed.repeat ? undefined : { do: action };
  }
  const direction = arrows[pressed.key];
  if (direction && !pressed.shiftKey) return line === '' || direction === 'up' || direction === 'down' ? { do: 'aim', direction } : undefined;
  if (pressed.shiftKey) return undefined;
  if ((pressed.key === 'Delete' || pressed.key === 'Backspace') && line === '') return pressed.repeat ? undefined : { do: pressed.key === 'Delete' ? 'strike' : 'cancel' };
  if (pressed.key === ' ' && line === '') return pressed.repeat ? undefined : { do: 'next' };
  const action = plain[pressed.key];
  return action === undefined || pressed.repeat ? undefined : { do: action };
}

function letterAt(code: string): string {
  return /^Key([A-Z])$/.exec(code)?.[1]?.toLowerCase() ?? (code === 'Period' ? '.' : code === 'Comma' ? ',' : '');
}
