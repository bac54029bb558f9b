/**
 * Contrast of every pair of colours that the window uses, worked out from the tokens themselves by the formula of WCAG 2.2
 * (relative luminance, success criteria 1.4.3 and 1.4.11). Least: 4.5 for text, 3 for the edge of a field or a button and for
 * the focus ring. What only decorates (hairlines, edges of key caps) has no least and is not here.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';

const css = readFileSync(new URL('../../renderer/theme/tokens.css', import.meta.url), 'utf8');

function tokensOf(theme: string): Readonly<Record<string, string>> {
  const block = css.split(`:root[data-theme='${theme}'] {`)[1]?.split('}')[0] ?? '';
  return Object.fromEntries([...block.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6});/gi)].map(([, name = '', value = '']) => [name, value]));
}

function luminance(hex: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((from) => {
    const part = Number.parseInt(hex.slice(from, from + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function contrast(a: string, b: string): number {
  const [light = 0, dark = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light + 0.05) / (dark + 0.05);
}

test('the formula, against the two ends that WCAG itself names: 21 for black on white, 1 for a colour on itself', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
  expect(contrast('#777777', '#777777')).toBe(1);
  // The grey that is commonly named as the lightest to pass on white: #767676, 4.54.
  expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
});

describe.each(['day', 'dim'])('%s', (theme) => {
  const tokens = tokensOf(theme);
  const of = (name: string): string => {
    const value = tokens[name];
    if (value === undefined) throw new Error(`${theme} has no --${name} as a plain colour`);
    return value;
  };
  const papers = ['paper', 'paper-raised', 'paper-band', 'call-paper', 'accent-paper', 'warn-paper'];

  test.each(['ink', 'ink-soft', 'accent', 'call', 'warn'].flatMap((ink) => papers.map((paper) => [ink, paper] as const)))('text: %s on %s', (ink, paper) => {
    expect(contrast(of(ink), of(paper))).toBeGreaterThanOrEqual(4.5);
  });
  test.each([['on-accent', 'accent'], ['on-stop', 'stop']] as const)('text: %s on %s', (ink, paper) => {
    expect(contrast(of(ink), of(paper))).toBeGreaterThanOrEqual(4.5);
  });
  test.each(['field-edge', 'focus', 'rule'].flatMap((edge) => papers.map((paper) => [edge, paper] as const)))('edge: %s on %s', (edge, paper) => {
    expect(contrast(of(edge), of(paper))).toBeGreaterThanOrEqual(3);
  });
  test('the stop and the main button stand out from the paper', () => {
    expect(contrast(of('stop'), of('paper'))).toBeGreaterThanOrEqual(3);
    expect(contrast(of('accent'), of('paper'))).toBeGreaterThanOrEqual(3);
  });
});

test('both themes define the same colours', () => {
  expect(Object.keys(tokensOf('day')).sort()).toEqual(Object.keys(tokensOf('dim')).sort());
  expect(Object.keys(tokensOf('day')).length).toBeGreaterThan(15);
});
