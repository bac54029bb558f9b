import type { Formula, Values } from './formula.ts';

/** Points at which the formula is looked at before it is solved. */
const SAMPLES = 64;

interface Point {
  readonly x: number;
  readonly y: number;
}

/**
 * Solves a formula for an input that has no inverse written out, by halving an interval: first over the published range of the
 * input, then over its whole span. It answers only where the formula rises or falls throughout, so that there is one answer at
 * most; otherwise, and where no value gives that result, NaN. Values that the formula itself refuses are left out.
 */
export function solveNumerically(formula: Formula, name: string, given: Values): number {
  const { output, ...others } = given;
  if (typeof output !== 'number') return Number.NaN;
  const at = (x: number): number => {
    const values = { ...others, [name]: x };
    return (formula.check?.(values) ?? []).some((finding) => finding.hard) ? Number.NaN : formula.compute(values);
  };
  for (const range of ['published', 'whole'] as const) {
    const [min, max] = spanOf(formula, name, range);
    if (!Number.isFinite(min) || !Number.isFinite(max) || min >= max) continue;
    const solved = solveBetween(at, samplesOf(at, min, max), output);
    if (Number.isFinite(solved)) return solved;
  }
  return Number.NaN;
}

function spanOf(formula: Formula, name: string, range: 'published' | 'whole'): readonly [number, number] {
  const spec = formula.inputs[name];
  const limits = formula.validity.filter((limit) => limit.input === name && (limit.hard === true || range === 'published'));
  return [
    Math.max(spec?.min ?? -Infinity, ...limits.map((limit) => limit.min ?? -Infinity)),
    Math.min(spec?.max ?? Infinity, ...limits.map((limit) => limit.max ?? Infinity)),
  ];
}

/** Evenly spread points, without those that are refused; where refusals begin or end, the edge itself is looked for. */
function samplesOf(at: (x: number) => number, min: number, max: number): readonly Point[] {
  const all = Array.from({ length: SAMPLES + 1 }, (_, i) => min + (i / SAMPLES) * (max - min)).map((x) => ({ x, y: at(x) }));
  return all.flatMap((point, i) => {
    const next = all[i + 1];
    const here = Number.isFinite(point.y);
    const edge = next && here !== Number.isFinite(next.y) ? edgeBetween(at, here ? point.x : next.x, here ? next.x : point.x) : [];
    return [...(here ? [point] : []), ...edge];
  });
}

/** The last value that is still computed on the way from one that is to one that is not. */
function edgeBetween(at: (x: number) => number, computed: number, refused: number): readonly Point[] {
  let inside = computed;
  let outside = refused;
  for (let i = 0; i < 60; i++) {
    const middle = (inside + outside) / 2;
    if (Number.isFinite(at(middle))) inside = middle;
    else outside = middle;
  }
  return [{ x: inside, y: at(inside) }];
}

function solveBetween(at: (x: number) => number, points: readonly Point[], output: number): number {
  const first = points[0];
  const last = points.at(-1);
  if (!first || !last || first.y === last.y) return Number.NaN;
  const rising = last.y > first.y;
  const goesOneWay = points.every((point, i) => {
    const before = points[i - 1];
    return !before || (rising ? point.y >= before.y : point.y <= before.y);
  });
  const inReach = rising ? output >= first.y && output <= last.y : output <= first.y && output >= last.y;
  if (!goesOneWay || !inReach) return Number.NaN;
  let low = first.x;
  let high = last.x;
  for (let i = 0; i < 200; i++) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) break;
    if (at(middle) < output === rising) low = middle;
    else high = middle;
  }
  return Math.abs(at(low) - output) <= Math.abs(at(high) - output) ? low : high;
}
