import { mean, sampleCorrelation, standardDeviation } from 'simple-statistics';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hash32, normal, secondsBetween, uniform } from '../../core/rehearsal/chance.ts';

const MANY = 20_000;
const list = (value: (index: number) => number): number[] => Array.from({ length: MANY }, (_, index) => value(index));

describe('chance from a seed', () => {
  it('gives the same number for the same seed and name, whatever was asked before', () => {
    fc.assert(
      fc.property(fc.integer(), fc.string(), fc.integer({ min: 0, max: 1_000_000 }), (seed, what, index) => {
        const first = [uniform(seed, what, index), normal(seed, what, index)];
        uniform(seed + 1, what, index);
        expect([uniform(seed, what, index), normal(seed, what, index)]).toEqual(first);
      }),
    );
  });

  it('hashes as FNV-1a followed by the MurmurHash3 finish', () => {
    // FNV-1a's published 32-bit value of the empty text is its offset basis, 0x811c9dc5, of "a" 0xe40c292c; the finish is then undone.
    const unfinish = (hash: number): number => {
      const unshift16 = (value: number): number => value ^ (value >>> 16);
      let value = unshift16(hash);
      value = Math.imul(value, 0x7ed1b41d);
      value = value ^ (value >>> 13) ^ (value >>> 26);
      value = Math.imul(value, 0xa5cb9243);
      return unshift16(value) >>> 0;
    };
    expect(unfinish(hash32(''))).toBe(0x811c9dc5);
    expect(unfinish(hash32('a'))).toBe(0xe40c292c);
  });

  it('is even between 0 and 1', () => {
    const values = list((index) => uniform(11, 'even', index));
    // Standard error of the mean of 20,000 even numbers is 0.289/141 = 0.002; five of them.
    expect(Math.abs(mean(values) - 0.5)).toBeLessThan(0.0103);
    for (let tenth = 0; tenth < 10; tenth += 1) {
      const share = values.filter((value) => value >= tenth / 10 && value < (tenth + 1) / 10).length / MANY;
      // Standard error of a tenth is 0.0021; five of them.
      expect(Math.abs(share - 0.1)).toBeLessThan(0.0106);
    }
  });

  it('is normal with mean 0 and spread 1, and neighbours are independent', () => {
    const values = list((index) => normal(11, 'bell', index));
    // Five standard errors: 1/141 for the mean, 1/200 for the spread; cutting at 3 takes 1.3 % off the spread.
    expect(Math.abs(mean(values))).toBeLessThan(0.0354);
    expect(Math.abs(standardDeviation(values) - 0.987)).toBeLessThan(0.025);
    expect(Math.max(...values.map(Math.abs))).toBeLessThanOrEqual(3);
    const next = list((index) => normal(11, 'bell', index + 1));
    const otherSeed = list((index) => normal(12, 'bell', index));
    const otherName = list((index) => normal(11, 'ball', index));
    // Standard error of a correlation of nothing with nothing is 1/141; five of them.
    for (const other of [next, otherSeed, otherName]) expect(Math.abs(sampleCorrelation(values, other))).toBeLessThan(0.0354);
  });

  it('stays between the bounds that were asked for', () => {
    fc.assert(
      fc.property(fc.integer(), fc.string(), fc.integer({ min: -30, max: 30 }), fc.integer({ min: 0, max: 60 }), (seed, what, least, width) => {
        const value = secondsBetween(seed, what, least, least + width);
        expect(Number.isInteger(value)).toBe(true);
        expect(value).toBeGreaterThanOrEqual(least * 1000);
        expect(value).toBeLessThanOrEqual((least + width) * 1000);
      }),
    );
  });
});
