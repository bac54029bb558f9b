/** What was chosen or let go over the window: files, and all files of folders, each with the folder that it came in. */
export interface HandedIn {
  readonly file: File;
  /** With `/` between its parts; empty for a file that came alone. */
  readonly folder: string;
}

const WANTED = /\.(pdf|json|zip)$/i;
const folderOf = (path: string): string => path.replace(/^\//, '').split('/').slice(0, -1).join('/');

/** Of a file picker; a folder's files carry their path. */
export function pickedFiles(files: Iterable<File> | null): readonly HandedIn[] {
  return [...(files ?? [])].filter((file) => file.webkitRelativePath === '' || WANTED.test(file.name)).map((file) => ({ file, folder: folderOf(file.webkitRelativePath) }));
}

export async function droppedFiles(data: DataTransfer): Promise<readonly HandedIn[]> {
  // The entries have to be asked for before the first pause; the browser empties the list then.
  const entries = [...data.items].flatMap((item) => {
    const entry = item.kind === 'file' ? item.webkitGetAsEntry() : null;
    return entry ? [entry] : [];
  });
  if (entries.length === 0) return pickedFiles(data.files);
  return (await Promise.all(entries.map(within))).flat().filter(({ file }) => WANTED.test(file.name));
}

async function within(entry: FileSystemEntry): Promise<readonly HandedIn[]> {
  if (entry.isFile) {
    const file = await new Promise<File | undefined>((resolve) => (entry as FileSystemFileEntry).file(resolve, () => resolve(undefined)));
    return file === undefined ? [] : [{ file, folder: folderOf(entry.fullPath) }];
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  const children: FileSystemEntry[] = [];
  // A reader gives its entries in portions, and an empty one at the end.
  for (;;) {
    const portion = await new Promise<FileSystemEntry[]>((resolve) => reader.readEntries(resolve, () => resolve([])));
    if (portion.length === 0) break;
    children.push(...portion);
  }
  return (await Promise.all(children.map(within))).flat();
}
