/** The process in which handed-in files are opened: apart from the one that serves a live session, and ended when a file takes too much. */
import { markOne, type MarkedDeskFile, type MarkOptions } from './mark-one.ts';

export interface MarkRequest {
  readonly id: number;
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly options: MarkOptions;
}
export type MarkReply = { readonly kind: 'ready' } | { readonly kind: 'done'; readonly id: number; readonly result: MarkedDeskFile };

const say = (reply: MarkReply): void => {
  process.send?.(reply);
};

process.on('message', (request: MarkRequest) => {
  void markOne(request.name, request.bytes, request.options).then((result) => say({ kind: 'done', id: request.id, result }));
});
// The desk's own process is gone: nobody waits for marks.
process.on('disconnect', () => process.exit(0));

// The reader of PDFs is loaded before the first file, so that no file's time is spent on it.
await import('pdfjs-dist/legacy/build/pdf.mjs');
say({ kind: 'ready' });
