/** Places in the address: every place reads back as itself, and nothing else is ever a place. */
import { assert, property, string } from 'fast-check';
import { expect, test } from 'vitest';
import { hashOf, placeOf, type Place } from '../../renderer/app/router.svelte.ts';

const places: readonly Place[] = [
  { screen: 'sessions' },
  { screen: 'marking' },
  { screen: 'station' },
  { screen: 'marking', set: 'set-abc123' },
  { screen: 'marking', set: 'set-abc123', file: 'f-0123456789abcdef0123' },
  { screen: 'class' },
  { screen: 'class', set: 'set-abc123' },
  { screen: 'formulas' },
  { screen: 'formulas', formula: 'walk-vo2-acsm' },
  { screen: 'session', session: 's-abc123' },
  { screen: 'session', session: 's-abc123', view: 'prepare' },
  { screen: 'session', session: 's-abc123', view: 'worksheet', worksheet: 'w-1' },
];

test.each(places)('%j', (place) => {
  expect(placeOf(hashOf(place))).toEqual(place);
});

test('anything else is the first screen, whatever stands in the address', () => {
  expect(placeOf('#token=abc')).toEqual({ screen: 'sessions' });
  expect(placeOf('')).toEqual({ screen: 'sessions' });
  expect(placeOf('#/session')).toEqual({ screen: 'sessions' });
  expect(placeOf('#/session/%E0%A4%A')).toEqual({ screen: 'sessions' });
  // Whatever place it is taken for, that place has an address that leads there.
  assert(property(string(), (text) => {
    const place = placeOf(`#/${text}`);
    expect(placeOf(hashOf(place))).toEqual(place);
  }));
});
