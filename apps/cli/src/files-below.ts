import type { Dirent } from 'node:fs';
import { readdir } from 'node:fs/promises';
import path from 'node:path';

/**
 * Plain files below a folder, as paths from it, in their order by name, folder by folder. Links are not followed; names that
 * begin with a dot are left alone where `hidden` is false.
 */
export async function* filesBelow(
  folder: string,
  { hidden, below = '' }: { readonly hidden: boolean; readonly below?: string },
): AsyncGenerator<string> {
  const entries: Dirent[] = await readdir(path.join(folder, below), { withFileTypes: true }).catch(() => []);
  entries.sort((a, b) => a.name.localeCompare(b.name, 'en', { numeric: true }));
  for (const entry of entries) {
    if (!hidden && entry.name.startsWith('.')) continue;
    const at = path.join(below, entry.name);
    if (entry.isDirectory()) yield* filesBelow(folder, { hidden, below: at });
    else if (entry.isFile()) yield at;
  }
}
