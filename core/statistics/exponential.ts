/**
 * Least-squares fit of the rise y(t) = offset + amplitude·(1 − e^(−(t − delay)/τ)), the shape of oxygen uptake after a step in
 * work rate. Written here rather than taken from a general fitter: the derivatives of this one curve are known, the fit needs no
 * starting values from the user, and the standard errors that a worksheet asks for come with it. Checked on NIST's Misra1a and
 * BoxBOD data.
 */
import { failed, refuseSamples, type Outcome } from './describe.ts';

export type ExponentialParameter = 'offset' | 'amplitude' | 'tau' | 'delay';

export interface ExponentialFit {
  readonly offset: number;
  readonly amplitude: number;
  /** time constant, in the unit of t */
  readonly tau: number;
  readonly delay: number;
  /** standard errors of the parameters that were fitted */
  readonly standardErrors: Readonly<Partial<Record<ExponentialParameter, number>>>;
  readonly residualSumOfSquares: number;
  /** √(RSS/(n − parameters)) */
  readonly residualSd: number;
  readonly n: number;
}

export interface ExponentialOptions {
  /** a known offset; without it, it is fitted */
  readonly offset?: number;
  /** a known delay; without it, it is fitted, which needs a known offset */
  readonly delay?: number;
}

type Parameters = Record<ExponentialParameter, number>;

/** Value at t; before the delay the curve is at its offset. */
export function exponentialAt(t: number, p: Readonly<Pick<Parameters, 'offset' | 'amplitude' | 'tau' | 'delay'>>): number {
  return t <= p.delay ? p.offset : p.offset + p.amplitude * (1 - Math.exp(-(t - p.delay) / p.tau));
}

const derivative: Readonly<Record<ExponentialParameter, (t: number, p: Parameters) => number>> = {
  offset: () => 1,
  amplitude: (t, p) => (t <= p.delay ? 0 : -Math.expm1(-(t - p.delay) / p.tau)),
  tau: (t, p) => (t <= p.delay ? 0 : (-p.amplitude * Math.exp(-(t - p.delay) / p.tau) * (t - p.delay)) / p.tau ** 2),
  delay: (t, p) => (t <= p.delay ? 0 : (-p.amplitude * Math.exp(-(t - p.delay) / p.tau)) / p.tau),
};

/**
 * Fits the curve. Offset and delay together cannot be told apart on points that all lie after the delay, so at least one has to
 * be known. Refuses too few points, no spread, and data on which the fit does not settle.
 */
export function fitExponential(t: readonly number[], y: readonly number[], options: ExponentialOptions): Outcome<ExponentialFit> {
  const free: ExponentialParameter[] = ['amplitude', 'tau'];
  if (options.offset === undefined) free.push('offset');
  if (options.delay === undefined) free.push('delay');
  if (free.length === 4) return failed('too-few', 'The baseline or the delay must be known; both cannot be fitted together.');
  const error = refuseSamples([t, y], free.length + 1);
  if (error) return { ok: false, error };
  const span = Math.max(...t) - Math.min(...t);
  if (!(span > 0)) return failed('no-spread', 'All times are the same.');

  let best: Parameters | undefined;
  let bestRss = Infinity;
  for (const start of starts(t, y, options, span)) {
    const rss = residuals(t, y, start).reduce((s, r) => s + r * r, 0);
    if (rss < bestRss) {
      best = start;
      bestRss = rss;
    }
  }
  if (!best) return failed('no-spread', 'No rise was found in these values.');
  const settled = improve(t, y, best, free);
  if (!settled) return failed('no-spread', 'The fit does not settle on these values.');

  const rss = residuals(t, y, settled).reduce((s, r) => s + r * r, 0);
  const df = t.length - free.length;
  const inverse = invert(normalMatrix(t, settled, free).matrix);
  if (!inverse) return failed('no-spread', 'The values do not tell the parameters apart.');
  const residualSd = Math.sqrt(rss / df);
  const standardErrors: Partial<Record<ExponentialParameter, number>> = {};
  free.forEach((name, i) => {
    standardErrors[name] = residualSd * Math.sqrt(inverse[i]?.[i] ?? Number.NaN);
  });
  return { ok: true, value: { ...settled, standardErrors, residualSumOfSquares: rss, residualSd, n: t.length } };
}

/** A grid of time constants and delays; for each the curve is linear in the other two parameters, which are solved for. */
function* starts(t: readonly number[], y: readonly number[], options: ExponentialOptions, span: number): Generator<Parameters> {
  const first = Math.min(...t);
  const delays = options.delay !== undefined ? [options.delay] : Array.from({ length: 9 }, (_, i) => first - span / 8 + (i * span) / 16);
  for (const delay of delays) {
    for (let i = 0; i <= 40; i++) {
      const tau = span * 10 ** (-2 + i / 10);
      const shape = t.map((value) => (value <= delay ? 0 : -Math.expm1(-(value - delay) / tau)));
      const linear = solveLinear(shape, y, options.offset);
      if (linear) yield { ...linear, tau, delay };
    }
  }
}

function solveLinear(
  shape: readonly number[],
  y: readonly number[],
  offset: number | undefined,
): Pick<Parameters, 'offset' | 'amplitude'> | undefined {
  const n = shape.length;
  const ms = offset === undefined ? shape.reduce((a, b) => a + b, 0) / n : 0;
  const my = offset === undefined ? y.reduce((a, b) => a + b, 0) / n : offset;
  let ss = 0;
  let sy = 0;
  shape.forEach((s, i) => {
    ss += (s - ms) ** 2;
    sy += (s - ms) * ((y[i] ?? 0) - my);
  });
  if (!(ss > 0)) return undefined;
  const amplitude = sy / ss;
  return { amplitude, offset: offset ?? my - amplitude * ms };
}

const residuals = (t: readonly number[], y: readonly number[], p: Parameters): number[] =>
  t.map((value, i) => (y[i] ?? 0) - exponentialAt(value, p));

/** Gauss–Newton with damping (Levenberg–Marquardt) until the steps are at the last places of the parameters. */
function improve(
  t: readonly number[],
  y: readonly number[],
  start: Parameters,
  free: readonly ExponentialParameter[],
): Parameters | undefined {
  let p = start;
  let rss = residuals(t, y, p).reduce((s, r) => s + r * r, 0);
  let damping = 1e-3;
  for (let round = 0; round < 500; round++) {
    const { matrix, gradient } = normalMatrix(t, p, free, residuals(t, y, p));
    const damped = matrix.map((row, i) => row.map((value, j) => (i === j ? value * (1 + damping) : value)));
    const step = solve(damped, gradient);
    if (!step) return undefined;
    const next = { ...p };
    free.forEach((name, i) => {
      next[name] += step[i] ?? 0;
    });
    const size = Math.max(...free.map((name, i) => Math.abs(step[i] ?? 0) / Math.max(1e-12, Math.abs(next[name]))));
    const nextRss = next.tau > 0 ? residuals(t, y, next).reduce((s, r) => s + r * r, 0) : Infinity;
    if (nextRss <= rss) {
      p = next;
      rss = nextRss;
      damping = Math.max(damping / 10, 1e-15);
      if (size < 1e-12) return p;
    } else {
      // The sum cannot fall further than its own rounding: a tiny step that does not help is the end.
      if (size < 1e-9) return p;
      damping = Math.max(damping * 10, 1e-6);
      if (damping > 1e12) return undefined;
    }
  }
  return Number.isFinite(rss) ? p : undefined;
}

function normalMatrix(t: readonly number[], p: Parameters, free: readonly ExponentialParameter[], residual: readonly number[] = []) {
  const columns = free.map((name) => t.map((value) => derivative[name](value, p)));
  const dot = (a: readonly number[], b: readonly number[]) => a.reduce((total, value, i) => total + value * (b[i] ?? 0), 0);
  return {
    matrix: columns.map((a) => columns.map((b) => dot(a, b))),
    gradient: columns.map((a) => dot(a, residual)),
  };
}

/** Solves a small symmetric system, scaled to ones on the diagonal, by elimination with pivots. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] | undefined {
  const n = right.length;
  const scale = matrix.map((row, i) => Math.sqrt(row[i] ?? 0));
  if (scale.some((s) => !(s > 0))) return undefined;
  const a = matrix.map((row, i) => [
    ...row.map((value, j) => value / ((scale[i] ?? 1) * (scale[j] ?? 1))),
    (right[i] ?? 0) / (scale[i] ?? 1),
  ]);
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let row = column + 1; row < n; row++) if (Math.abs(a[row]?.[column] ?? 0) > Math.abs(a[pivot]?.[column] ?? 0)) pivot = row;
    const top = a[pivot];
    const swapped = a[column];
    if (!top || !swapped || Math.abs(top[column] ?? 0) < 1e-14) return undefined;
    a[pivot] = swapped;
    a[column] = top;
    for (let row = column + 1; row < n; row++) {
      const line = a[row];
      if (!line) continue;
      const factor = (line[column] ?? 0) / (top[column] ?? 1);
      for (let k = column; k <= n; k++) line[k] = (line[k] ?? 0) - factor * (top[k] ?? 0);
    }
  }
  const x = Array.from({ length: n }, () => 0);
  for (let row = n - 1; row >= 0; row--) {
    const line = a[row] ?? [];
    let value = line[n] ?? 0;
    for (let k = row + 1; k < n; k++) value -= (line[k] ?? 0) * (x[k] ?? 0);
    x[row] = value / (line[row] ?? 1);
  }
  return x.map((value, i) => value / (scale[i] ?? 1));
}

function invert(matrix: readonly (readonly number[])[]): number[][] | undefined {
  const columns: number[][] = [];
  for (let i = 0; i < matrix.length; i++) {
    const column = solve(
      matrix,
      matrix.map((_, j) => (i === j ? 1 : 0)),
    );
    if (!column) return undefined;
    columns.push(column);
  }
  return columns;
}
