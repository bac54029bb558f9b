/** Asks where to save a file, and writes it. */
import { dialog, type BrowserWindow } from 'electron';
import { rename, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { failure, success, type Result } from '../../core/result.ts';
import { codeOf } from '../store/faults.ts';

export async function saveFile(
  window: BrowserWindow | undefined,
  { name, base64 }: { readonly name: string; readonly base64: string },
): Promise<Result<{ readonly saved: boolean; readonly where?: string }>> {
  const options = { defaultPath: path.basename(name) };
  const chosen = window ? await dialog.showSaveDialog(window, options) : await dialog.showSaveDialog(options);
  if (chosen.canceled || chosen.filePath === '') return success({ saved: false });
  const beside = `${chosen.filePath}.part`;
  try {
    // Beside it first: a full disk must not leave half a worksheet where a whole one was.
    await writeFile(beside, Buffer.from(base64, 'base64'));
    await rename(beside, chosen.filePath);
    return success({ saved: true, where: chosen.filePath });
  } catch (cause) {
    await rm(beside, { force: true });
    const why = codeOf(cause) === 'ENOSPC' ? 'the disk is full' : (cause as Error).message;
    return failure('not-saved', `The file was not saved: ${why}. The record is not touched by this. Choose another folder and try again.`);
  }
}
