/** The menu item that prints a lab sheet as a blank page: each usable sheet, on either paper. */
import type { ExportedFile, SheetListing } from '../../core/contract/contract.ts';
import type { Result } from '../../core/result.ts';

export interface BlankMenuItem {
  readonly label: string;
  readonly submenu: readonly { readonly label: string; readonly click: () => void }[];
}

interface Needs {
  readonly call: (name: 'sheets.list' | 'sheet.blank', input: unknown) => Promise<Result<unknown>>;
  readonly save: (file: ExportedFile) => Promise<Result<unknown>>;
  /** Told in a box of its own where it came to nothing. */
  readonly say: (message: string) => void;
}

/** One submenu a paper; empty where the station gives no sheets. */
export async function blankMenu({ call, save, say }: Needs): Promise<readonly BlankMenuItem[]> {
  const listed = await call('sheets.list', {});
  if (!listed.ok) return [];
  const usable = (listed.value as readonly SheetListing[]).filter((sheet) => sheet.problems.length === 0);
  if (usable.length === 0) return [];
  const write = async (sheet: string, paper: 'A4' | 'Letter'): Promise<void> => {
    const blank = await call('sheet.blank', { sheet, paper });
    const saved = blank.ok ? await save(blank.value as ExportedFile) : blank;
    if (!saved.ok) say(saved.error.message);
  };
  return (['A4', 'Letter'] as const).map((paper) => ({
    label: `Blank sheet for paper, ${paper}`,
    submenu: usable.map(({ id, title }) => ({ label: title.replaceAll('&', '&&'), click: () => void write(id, paper) })),
  }));
}
