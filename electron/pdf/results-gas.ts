/** The gas exchange file on paper: what it gives line by line, the peak by every averaging, and the threshold plots. */
import { thresholdChart, thresholdPlot } from '../../core/figures/gas.ts';
import { printLook } from '../../core/figures/figure.ts';
import { gasLines, peakRuleLine } from '../../core/results/gas-words.ts';
import { thresholdMethods } from '../../core/results/gas.ts';
import { drawFigure } from './draw-figure.ts';
import { hairlines, step, type Block } from './ink.ts';
import type { Page } from './source.ts';

const FIGURE_HEIGHT = 150;

/** What a gas exchange file gave, with its figures; nothing without one. */
export function gasPart(page: Page): Block[] {
  const { ink, source } = page;
  const { gas } = source.results;
  if (!gas) return [];
  if (!gas.found) return [{ text: ink.quiet(`Gas exchange file ${gas.says}: nothing could be worked out, ${gas.reason ?? 'not known'}.`), margin: [0, step.block, 0, 0] }];
  const { found } = gas;
  const head = ['Gas exchange file', '', ''].map((text): Block => ({ text: ink.quiet(text, { bold: true }) }));
  const body = gasLines(found, source.session.mass).map(({ label, value, note, source: cited }): Block[] => [
    { text: ink.text(label, { size: 8.4 }) },
    { text: ink.figure(value) },
    { text: ink.quiet(cited === undefined ? note : `${note.replace(/\.$/, '')}. ${cited}`) },
  ]);
  return [
    { table: { headerRows: 1, widths: [118, 132, '*'], body: [head, ...body], dontBreakRows: true, keepWithHeaderRows: 2 }, layout: hairlines({ headerRows: 1, gap: 10 }), margin: [0, step.block, 0, 0] },
    { text: ink.quiet(`${gas.says}. Thresholds were looked for ${found.rampBecause}. ${found.series.notes.join(' ')}`), margin: [0, 3, 0, 0] },
    ...peakTable(page),
    ...figures(page),
  ];
}

function peakTable({ ink, source }: Page): Block[] {
  const table = source.results.gas?.found?.sensitivity.table ?? [];
  const rows = table.filter((one) => one.peak !== undefined).map((one) => peakRuleLine(one));
  if (rows.length === 0) return [];
  const half = Math.ceil(rows.length / 2);
  const head = ['Peak VO₂ by averaging', 'L/min', '', 'Peak VO₂ by averaging', 'L/min', ''].map((text, at): Block => ({ text: ink.quiet(text, { bold: true }), ...(at % 3 === 0 ? {} : { alignment: 'right' as const }), noWrap: true }));
  const cells = (row: (typeof rows)[number] | undefined): Block[] =>
    row === undefined ? [{ text: '' }, { text: '' }, { text: '' }] : [{ text: ink.text(row.label, { size: 8.4 }) }, { text: ink.figure(row.value), alignment: 'right' }, { text: ink.quiet(row.difference), alignment: 'right', noWrap: true }];
  const body = Array.from({ length: half }, (_, at) => [...cells(rows[at]), ...cells(rows[at + half])]);
  return [{ table: { headerRows: 1, widths: ['*', 'auto', 'auto', '*', 'auto', 'auto'], body: [head, ...body], dontBreakRows: true, keepWithHeaderRows: 2 }, layout: hairlines({ headerRows: 1, gap: 10 }), margin: [0, step.block, 0, 0] }];
}

/** Two in a row: each threshold by both methods. */
function figures({ ink, source, width }: Page): Block[] {
  const found = source.results.gas?.found;
  if (!found) return [];
  const gap = 14;
  const each = (width - gap) / 2;
  return found.thresholds.flatMap((threshold): Block[] => {
    const name = threshold.id === 'vt1' ? 'VT1' : 'VT2';
    const drawn = thresholdMethods.flatMap((method): Block[] => {
      const judged = threshold.methods[method];
      const plot = thresholdPlot(judged, threshold.placed);
      if (!plot) return [];
      return [{ width: each, stack: [{ text: ink.quiet(judged.automatic.title, { bold: true }), margin: [0, 0, 0, 2] }, { svg: drawFigure(thresholdChart(plot, printLook, name), each, FIGURE_HEIGHT), width: each, alt: plot.words }] }];
    });
    return drawn.length === 0 ? [] : [{ stack: [{ columns: drawn, columnGap: gap }], unbreakable: true, margin: [0, step.block, 0, 0] }];
  }).concat([{ text: ink.quiet('Dots: breaths, smoothed. Lines: the program’s fit (solid) and one placed by a person (dashed). Shaded: 95 % interval of the program’s threshold.'), margin: [0, 3, 0, 0], role: 'Caption' }]);
}
