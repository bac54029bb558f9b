/** The process in which handed-in files are opened: apart from the one that serves a live session, and ended when a file takes too much. */
import { markOne, type MarkedDeskFile, type MarkOptions } from './mark-one.ts';
import type { Result } from '../../core/result.ts';
import { unzipWorksheets, type Unpacked } from './zip.ts';
import { feedbackBytes, type FeedbackTask } from './set-feedback.ts';
import { openForSet, remarkRecord, type OpenedForSet, type SetKey } from './open-for-set.ts';

export type MarkTask =
  | { readonly kind: 'file'; readonly name: string; readonly bytes: Uint8Array; readonly options: MarkOptions }
  /** A file for a marking set: opened, checked, and marked by the set's key. */
  | { readonly kind: 'set-file'; readonly bytes: Uint8Array; readonly key?: SetKey }
  /** A packed folder of handed-in files. */
  | { readonly kind: 'zip'; readonly bytes: Uint8Array }
  /** A kept record, marked by another key. */
  | { readonly kind: 'record'; readonly packed: Uint8Array; readonly key: SetKey }
  /** One worksheet's feedback as a PDF. */
  | { readonly kind: 'feedback'; readonly task: FeedbackTask };
export type TaskResult<Task extends MarkTask> = Task extends { kind: 'file' } ? MarkedDeskFile : Task extends { kind: 'set-file' } ? OpenedForSet : Task extends { kind: 'zip' } ? Result<Unpacked> : Task extends { kind: 'feedback' } ? FeedbackWritten : string;
export type FeedbackWritten = { readonly ok: true; readonly bytes: Uint8Array } | { readonly ok: false; readonly why: string };

export interface MarkRequest {
  readonly id: number;
  readonly task: MarkTask;
}
export type MarkReply = { readonly kind: 'ready' } | { readonly kind: 'done'; readonly id: number; readonly result: TaskResult<MarkTask> };

const say = (reply: MarkReply): void => {
  process.send?.(reply);
};

async function run(task: MarkTask): Promise<TaskResult<MarkTask>> {
  switch (task.kind) {
    case 'file':
      return markOne(task.name, task.bytes, task.options);
    case 'set-file':
      return openForSet(task.bytes, task.key);
    case 'zip':
      return unzipWorksheets(task.bytes);
    case 'record':
      return remarkRecord(task.packed, task.key);
    case 'feedback':
      return feedbackBytes(task.task).then(
        (bytes) => ({ ok: true, bytes }),
        (cause: unknown) => ({ ok: false, why: (cause as Error).message.slice(0, 200) }),
      );
  }
}

/** One after the other, in the order in which they came: a file's time is its own. */
let turn: Promise<void> = Promise.resolve();
process.on('message', (request: MarkRequest) => {
  turn = turn.then(() => run(request.task)).then((result) => say({ kind: 'done', id: request.id, result }));
});
// The desk's own process is gone: nobody waits for marks.
process.on('disconnect', () => process.exit(0));

// The reader of PDFs is loaded before the first file, so that no file's time is spent on it.
await import('pdfjs-dist/legacy/build/pdf.mjs');
say({ kind: 'ready' });
