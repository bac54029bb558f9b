import { describe, expect, it } from 'vitest';
import { actionOf, type Pressed } from '../../renderer/live/keys.ts';

const press = (key: string, more: Partial<Pressed> = {}, line = ''): string | undefined => {
  const action = actionOf({ key, code: '', ctrlKey: false, altKey: false, metaKey: false, shiftKey: false, repeat: false, isComposing: false, ...more }, line);
  return action && (action.do === 'aim' ? `aim ${action.direction}` : action.do);
};

describe('keys of the live sheet', () => {
  it('stop is Ctrl Enter, whatever stands in the line, and never a held key', () => {
    expect(press('Enter', { ctrlKey: true })).toBe('stop');
    expect(press('Enter', { ctrlKey: true }, '16')).toBe('stop');
    expect(press('Enter', { metaKey: true }, '16')).toBe('stop');
    expect(press('Enter', { ctrlKey: true, repeat: true })).toBeUndefined();
    expect(press('Enter', {}, '16')).toBe('enter');
  });

  it('F2 marks the change at any moment, Space on an empty line only', () => {
    expect(press('F2', {}, '16')).toBe('next');
    expect(press(' ')).toBe('next');
    expect(press(' ', {}, 'note')).toBeUndefined();
    expect(press('F2', { repeat: true })).toBeUndefined();
  });

  it('arrows aim while the line is empty; left and right move in what is typed', () => {
    expect(press('ArrowLeft')).toBe('aim left');
    expect(press('ArrowLeft', {}, '168/7')).toBeUndefined();
    expect(press('ArrowUp', {}, '168/7')).toBe('aim up');
    expect(press('ArrowUp', { shiftKey: true })).toBeUndefined();
  });

  it('Ctrl Z takes back an entry on an empty line, and edits text otherwise', () => {
    expect(press('z', { ctrlKey: true })).toBe('undo');
    expect(press('z', { ctrlKey: true }, '16')).toBeUndefined();
    expect(press('Z', { ctrlKey: true, shiftKey: true })).toBeUndefined();
  });

  it('Alt letters are found by their place where Alt makes another sign', () => {
    expect(press('r', { altKey: true })).toBe('rail');
    expect(press('®', { altKey: true, code: 'KeyR' })).toBe('rail');
    expect(press('g', { altKey: true })).toBe('gait');
  });

  it('leaves to the browser what a tab cannot keep or must not take', () => {
    for (const key of ['w', 'n', 't', 'q', 'l', 'f', 'r', 'p']) expect(press(key, { ctrlKey: true })).toBeUndefined();
    for (const key of ['F3', 'F5', 'F7', 'F10', 'F11', 'F12', 'Tab', 'PageDown', 'Home']) expect(press(key)).toBeUndefined();
    for (const key of ['d', 'e', 'f', 'ArrowLeft', 'F4', 'Tab']) expect(press(key, { altKey: true })).toBeUndefined();
  });

  it('typing and composing are left alone', () => {
    expect(press('1')).toBeUndefined();
    expect(press('a', {}, 'note ')).toBeUndefined();
    expect(press('Enter', { isComposing: true })).toBeUndefined();
  });
});
