/** A figure as a picture: on the paper of the theme, with its title and its n, so that it can stand alone on a slide. */
import { base64Of } from '../shared/base64.ts';

export interface ImageOf {
  readonly canvas: HTMLCanvasElement;
  readonly title: string;
  readonly note: string;
  readonly paper: string;
  readonly ink: string;
  readonly face: string;
}

function draw({ canvas, title, note, paper, ink, face }: ImageOf): Promise<Blob> {
  const scale = canvas.width / Math.max(1, canvas.clientWidth);
  const edge = 16 * scale;
  const head = 34 * scale;
  const foot = 28 * scale;
  const picture = document.createElement('canvas');
  picture.width = canvas.width + 2 * edge;
  picture.height = canvas.height + head + foot + edge;
  const context = picture.getContext('2d');
  if (!context) throw new Error('no drawing surface');
  context.fillStyle = paper;
  context.fillRect(0, 0, picture.width, picture.height);
  context.fillStyle = ink;
  context.textBaseline = 'top';
  context.font = `600 ${17 * scale}px ${face}`;
  context.fillText(title, edge, edge * 0.75, picture.width - 2 * edge);
  context.drawImage(canvas, edge, head + edge * 0.5);
  context.font = `400 ${12 * scale}px ${face}`;
  context.fillText(note, edge, head + canvas.height + edge * 0.9, picture.width - 2 * edge);
  return new Promise((resolve, reject) => picture.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('the picture could not be made'))), 'image/png'));
}

/** @returns false where the window may not write to the clipboard. */
export async function copyImage(of: ImageOf): Promise<boolean> {
  try {
    await navigator.clipboard.write([new ClipboardItem({ 'image/png': draw(of) })]);
    return true;
  } catch {
    return false;
  }
}

/** As base64. */
export async function saveImage(of: ImageOf): Promise<string> {
  return base64Of(new Uint8Array(await (await draw(of)).arrayBuffer()));
}
