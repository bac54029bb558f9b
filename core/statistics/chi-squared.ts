/**
 * Quantiles of χ², for the interval of a standard error of estimate. Written here: the two statistics packages that are
 * used for Student's t come without it, and a table would not hold every number of participants.
 */
import { gammaln } from 'simple-statistics';

/**
 * P(X ≤ x) of χ², the regularised lower incomplete gamma function: by its series below the middle, by its continued
 * fraction above (Abramowitz & Stegun 1964, 6.5.29 and 6.5.31).
 * @param degreesOfFreedom above 0
 */
export function chiSquaredCdf(x: number, degreesOfFreedom: number): number {
  if (!(x > 0)) return 0;
  const a = degreesOfFreedom / 2;
  const z = x / 2;
  const front = Math.exp(a * Math.log(z) - z - gammaln(a));
  return z < a + 1 ? (front * series(a, z)) : 1 - front * fraction(a, z);
}

/** A term that adds less than this share changes no digit of a double. */
const ENOUGH = 1e-15;
/** Far more terms than any class needs: their number grows with the root of the degrees of freedom. */
const MOST_TERMS = 20_000;

function series(a: number, z: number): number {
  let term = 1 / a;
  let total = term;
  for (let k = 1; k < MOST_TERMS && Math.abs(term) > Math.abs(total) * ENOUGH; k += 1) {
    term *= z / (a + k);
    total += term;
  }
  return total;
}

/** Lentz's way of evaluating a continued fraction from its beginning. */
function fraction(a: number, z: number): number {
  let b = z + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let total = d;
  for (let k = 1; k < MOST_TERMS; k += 1) {
    const an = -k * (k - a);
    b += 2;
    d = 1 / (an * d + b);
    c = b + an / c;
    const step = c * d;
    total *= step;
    if (Math.abs(step - 1) < ENOUGH) break;
  }
  return total;
}

/**
 * The x with P(X ≤ x) = probability, by halving: the function rises all the way, so that it cannot go astray.
 * @param probability between 0 and 1, both excluded
 * @param degreesOfFreedom above 0
 */
export function chiSquaredQuantile(probability: number, degreesOfFreedom: number): number {
  let low = 0;
  let high = Math.max(1, degreesOfFreedom);
  while (chiSquaredCdf(high, degreesOfFreedom) < probability) high *= 2;
  for (let step = 0; step < 200; step += 1) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (chiSquaredCdf(middle, degreesOfFreedom) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
