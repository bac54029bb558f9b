/** The small pieces that a blank sheet is made of. */
import type { LabSheet } from '../../core/sheet/schema.ts';
import type { Block, Ink, TableLayout } from './ink.ts';

/** What a part of the page is drawn with. */
export interface BlankPage {
  readonly sheet: LabSheet;
  readonly ink: Ink;
  readonly width: number;
}

/** Lines on all sides, for writing in; heights that a hand can fill. */
export const grid: TableLayout = {
  hLineWidth: () => 0.5,
  hLineColor: () => '#8a9194',
  vLineWidth: () => 0.5,
  vLineColor: () => '#b9bdbd',
  paddingLeft: () => 4,
  paddingRight: () => 4,
  paddingTop: () => 4,
  paddingBottom: () => 4,
};

/** Empty lines to write on. */
export function lines(count: number, width: number, height = 19): Block {
  return { stack: Array.from({ length: count }, (): Block => ({ canvas: [{ type: 'line', x1: 0, y1: height, x2: width, y2: height, lineWidth: 0.5, lineColor: '#8a9194' }] })) };
}
