/** All files of a drop, folders opened, in their order by name. */
export async function droppedFiles(transfer: DataTransfer): Promise<File[]> {
  const entries = [...transfer.items].flatMap((item) => {
    const entry = item.kind === 'file' ? item.webkitGetAsEntry() : null;
    return entry ? [entry] : [];
  });
  if (entries.length === 0) return [...transfer.files];
  const found = (await Promise.all(entries.map(filesOf))).flat();
  return found.sort((a, b) => a.name.localeCompare(b.name, 'en', { numeric: true }));
}

async function filesOf(entry: FileSystemEntry): Promise<File[]> {
  if (entry.isFile) {
    return new Promise((resolve) =>
      (entry as FileSystemFileEntry).file(
        (file) => resolve([file]),
        () => resolve([]),
      ),
    );
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  const all: FileSystemEntry[] = [];
  for (;;) {
    // A folder is told in pieces; the end is an empty one.
    const some = await new Promise<FileSystemEntry[]>((resolve) =>
      reader.readEntries(resolve, () => resolve([])),
    );
    if (some.length === 0) break;
    all.push(...some);
  }
  return (await Promise.all(all.map(filesOf))).flat();
}
