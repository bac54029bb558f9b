/** The theme's tokens as a plot needs them. */
import type { PlotLook } from '../../core/figures/figure.ts';

export function lookOf(root: HTMLElement): PlotLook {
  const style = getComputedStyle(root);
  const token = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ink: token('--ink'),
    soft: token('--ink-soft'),
    hairline: token('--hairline'),
    band: token('--paper-band'),
    paper: token('--paper'),
    call: token('--call'),
    accent: token('--accent'),
    face: token('--face'),
    // 0.75rem, the smallest type of the window.
    size: Math.round(Number.parseFloat(style.fontSize) * 0.75),
  };
}
