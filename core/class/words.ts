/** The class's statistics in words: for the lists beside the figures, for a screen reader and for a copied image. */
import type { Agreement, PairStatistics, Statistic } from './agreement.ts';
import { signed } from './figures.ts';
import type { CategoryBar, Curves } from './groups.ts';

export interface StatisticLine {
  readonly label: string;
  readonly value: string;
  /** "−1.2 to 3.4"; empty where there is none. */
  readonly interval: string;
  readonly unit: string;
  readonly n: number;
  /** What it is, and how its interval was made. */
  readonly note: string;
}

const UPTAKE = 'mL/kg/min';

/** The statistics of one agreement as lines of label, value, 95 % interval, unit and n. Uptake in mL/kg/min. */
export function statisticLines(statistics: PairStatistics): readonly StatisticLine[] {
  const line = (label: string, statistic: Statistic | undefined, decimals: number, unit: string, note: string, plus = false): readonly StatisticLine[] => {
    if (statistic === undefined) return [];
    const text = (value: number): string => (plus ? signed(value, decimals) : plain(value, decimals));
    return [{ label, value: text(statistic.value), interval: statistic.interval === undefined ? '' : `${text(statistic.interval.low)} to ${text(statistic.interval.high)}`, unit, n: statistic.n, note: statistic.by === undefined ? note : `${note} Interval: ${statistic.by}.` }];
  };
  const { trend } = statistics;
  return [
    ...line('Bias', statistics.bias, 1, UPTAKE, 'Mean of predicted − measured.', true),
    ...line('Lower limit', statistics.lower, 1, UPTAKE, `Bias − ${statistics.blandAltman.multiple} SD.`, true),
    ...line('Upper limit', statistics.upper, 1, UPTAKE, `Bias + ${statistics.blandAltman.multiple} SD.`, true),
    ...line('SD of differences', statistics.sd, 1, UPTAKE, 'n − 1 in the denominator.'),
    ...line('Difference on mean', trend, 2, '', `Slope; away from zero, the difference depends on the size. p ${pText(trend?.p)}.`, true),
    ...line('Correlation r', statistics.correlation, 2, '', 'Pearson. High for any two values that rise together, agreeing or not.'),
    ...line('Concordance', statistics.concordance, 2, '', 'Lin: about the line of identity.'),
    ...line('SEE', statistics.see, 1, UPTAKE, 'Residual SD of measured on predicted.'),
    ...line('Total error', statistics.totalError, 1, UPTAKE, 'Root mean square about the line of identity.'),
    ...line('Slope', statistics.slope, 2, '', 'Regression of measured on predicted.'),
    ...line('Intercept', statistics.intercept, 1, UPTAKE, 'Regression of measured on predicted.'),
  ];
}

export const plain = (value: number, decimals: number): string => value.toFixed(decimals).replace(/^-(?=.*[1-9])/, '−').replace(/^-/, '');

/** "0.75", "< 0.001". */
export function pText(p: number | undefined): string {
  return p === undefined ? 'not known' : p < 0.001 ? '< 0.001' : p.toFixed(p < 0.1 ? 3 : 2);
}

/** "Left out: 2 stopped for a symptom, 1 no measured uptake." */
export function leftOutText(agreement: Pick<Agreement, 'leftOut'>): string {
  return agreement.leftOut.length === 0 ? '' : `Left out: ${agreement.leftOut.map(({ reason, n }) => `${n} ${reason}`).join(', ')}.`;
}

/** What the agreement figure shows, for who does not see it. */
export function agreementInWords(agreement: Agreement): string {
  const { statistics } = agreement;
  if (!statistics) return `${agreement.title}: ${agreement.reason ?? 'no statistics'}`;
  return `${agreement.title}, n ${statistics.n}. ${statisticLines(statistics).slice(0, 7).map((line) => `${line.label} ${line.value}${line.interval === '' ? '' : ` (${line.interval})`}${line.unit === '' ? '' : ` ${line.unit}`}`).join('; ')}.`;
}

/** What the bars of categories show. @param n tests that have a category. */
export function categoriesInWords(bars: readonly CategoryBar[], n: number): string {
  return n === 0 ? 'No test has a category.' : `${bars.map((bar) => `${bar.name} ${bar.count} of ${n}`).join(', ')}.`;
}

/** What the curves of heart rate show, /min by minute. @param fewest means of fewer tests are left out. */
export function curvesInWords(curves: Curves, fewest: number): string {
  const means = curves.means.filter((point) => point.n >= fewest);
  return means.length === 0 ? 'No mean heart rate.' : `Mean heart rate per minute: ${means.map((point) => `${Math.round(point.value)} at ${point.x} min (n ${point.n})`).join(', ')}.`;
}
