/** What the benchmarks print. */

/** The value below which a share of the samples lies (nearest rank). */
export function percentile(samples: readonly number[], share: number): number {
  const sorted = [...samples].sort((a, b) => a - b);
  const value = sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(share * sorted.length) - 1))];
  if (value === undefined) throw new Error('there are no samples');
  return value;
}

export const median = (samples: readonly number[]): number => percentile(samples, 0.5);

/** One line: what, the ratio, the budget, and whether it was kept. */
export function ratioLine(what: string, ratio: number, budget: number): string {
  return `  ${what}: ${ratio.toFixed(2)}× (budget ${budget}×)${ratio <= budget ? '' : '  OVER'}`;
}
