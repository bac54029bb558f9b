/** Draws a figure's Chart.js configuration as SVG: vector, without a browser. Letters become paths, so they need no font in the PDF. */
import { createCanvas, GlobalFonts, SvgExportFlag } from '@napi-rs/canvas';
import { Chart, LinearScale, LineController, LineElement, PointElement, type ChartConfiguration } from 'chart.js';
import annotationPlugin from 'chartjs-plugin-annotation';
import type { FigureConfig } from '../../core/figures/figure.ts';
import { facePaths } from './fonts.ts';

let ready = false;

function prepare(): void {
  if (ready) return;
  Chart.register(LineController, LineElement, PointElement, LinearScale, annotationPlugin);
  for (const { path, family } of facePaths()) GlobalFonts.registerFromPath(path, family);
  ready = true;
}

/** @param width in points of the page, as `height`. */
export function drawFigure(config: FigureConfig, width: number, height: number): string {
  prepare();
  const canvas = createCanvas(width, height, SvgExportFlag.ConvertTextToPaths);
  // Chart.js takes any object with a 2d context when it runs without a document.
  const chart = new Chart(canvas as unknown as HTMLCanvasElement, { ...config, options: { ...config.options, devicePixelRatio: 1 } } as unknown as ChartConfiguration);
  try {
    return withOwnIds(canvas.getContent().toString('utf8'));
  } finally {
    chart.destroy();
  }
}

/** The surface numbers its clips through the life of the process; here they count from 1, so that the same figure is the same text. */
function withOwnIds(svg: string): string {
  const ids = new Map<string, string>();
  return svg.replace(/\bcl_[0-9a-f]+\b/g, (id) => {
    const own = ids.get(id) ?? `clip${ids.size + 1}`;
    ids.set(id, own);
    return own;
  });
}
