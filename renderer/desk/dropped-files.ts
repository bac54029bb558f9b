/** What was let go over the window: files, and all files of folders. */
export async function filesOf(data: DataTransfer): Promise<readonly File[]> {
  // The entries have to be asked for before the first pause; the browser empties the list then.
  const entries = [...data.items].flatMap((item) => {
    const entry = item.kind === 'file' ? item.webkitGetAsEntry() : null;
    return entry ? [entry] : [];
  });
  if (entries.length === 0) return [...data.files];
  const files = (await Promise.all(entries.map(within))).flat();
  return files.filter((file) => /\.(pdf|json)$/i.test(file.name));
}

async function within(entry: FileSystemEntry): Promise<readonly File[]> {
  if (entry.isFile) {
    const file = await new Promise<File | undefined>((resolve) => (entry as FileSystemFileEntry).file(resolve, () => resolve(undefined)));
    return file === undefined ? [] : [file];
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
