/**
 * Chance without a source of chance: every "random" number of a rehearsal is worked out from the seed and from what the
 * number is for, so that the same seed and moment give the same value however often and in whatever order it is asked for.
 *
 * The generator is two public-domain hashes, one after the other: FNV-1a over the text (Fowler, Noll, Vo) and the last
 * mixing step of MurmurHash3 (Appleby), which spreads the last few changed letters over all 32 bits. It is meant for
 * teaching data, not for secrets. `tests/core/rehearsal-chance.test.ts` checks mean, spread and independence of neighbours.
 */

/** A whole number from 0 to 2³² − 1 for a text. */
export function hash32(text: string): number {
  let hash = 0x811c9dc5;
  for (let index = 0; index < text.length; index += 1) {
    hash ^= text.charCodeAt(index);
    hash = Math.imul(hash, 0x01000193);
  }
  hash ^= hash >>> 16;
  hash = Math.imul(hash, 0x85ebca6b);
  hash ^= hash >>> 13;
  hash = Math.imul(hash, 0xc2b2ae35);
  hash ^= hash >>> 16;
  return hash >>> 0;
}

/** Evenly spread between 0 and 1, never exactly either. @param what names the number: "hr", "slot/exercise/s2/m1". */
export function uniform(seed: number, what: string, index = 0): number {
  return (hash32(`${seed}|${what}|${index}`) + 0.5) / 4_294_967_296;
}

/**
 * Normally distributed with mean 0 and standard deviation 1 (Box and Muller 1958), cut off at ±3: one value in 370 is
 * drawn in to ±3, so that a single wild number does not spoil a lesson.
 */
export function normal(seed: number, what: string, index = 0): number {
  const radius = Math.sqrt(-2 * Math.log(uniform(seed, `${what}/r`, index)));
  const value = radius * Math.cos(2 * Math.PI * uniform(seed, `${what}/a`, index));
  return Math.max(-3, Math.min(3, value));
}

/** A whole number of milliseconds between two numbers of seconds. */
export function secondsBetween(seed: number, what: string, least: number, most: number): number {
  return Math.round((least + (most - least) * uniform(seed, what)) * 1000);
}
