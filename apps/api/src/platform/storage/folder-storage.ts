import { createReadStream } from 'node:fs';
import { copyFile, mkdir, open, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import type { Storage } from './storage';

const KEY = /^[a-z]+\/[0-9a-f]{2}\/[0-9a-f-]{36}$/;

/** A random key: `originals/3f/<uuid>`. */
export function storageKey(shelf: 'originals' | 'packs' | 'pdfs', id: string): string {
  return `${shelf}/${id.slice(-2)}/${id}`;
}

/** Storage in a local folder. */
export function folderStorage(root: string): Storage {
  const at = (key: string) => {
    if (!KEY.test(key)) throw new Error(`not a storage key: ${key}`);
    return path.join(root, key);
  };
  return {
    async takeFile(key, localPath) {
      const target = at(key);
      await mkdir(path.dirname(target), { recursive: true });
      await syncFile(localPath);
      try {
        await rename(localPath, target);
      } catch (error) {
        if (!isCrossDevice(error)) throw error;
        await copyFile(localPath, target);
        await syncFile(target);
        await rm(localPath, { force: true });
      }
      await syncFolder(path.dirname(target));
    },
    async putBytes(key, bytes) {
      const target = at(key);
      await mkdir(path.dirname(target), { recursive: true });
      const part = `${target}.part`;
      const file = await open(part, 'w');
      try {
        await file.writeFile(bytes);
        await file.sync();
      } finally {
        await file.close();
      }
      await rename(part, target);
      await syncFolder(path.dirname(target));
    },
    async size(key) {
      try {
        return (await stat(at(key))).size;
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
        throw error;
      }
    },
    read: (key, range) => createReadStream(at(key), range ?? {}),
    withLocalFile: (key, work) => work(at(key)),
    remove: (key) => rm(at(key), { force: true }),
  };
}

/** Flushes a file's bytes to the disk: what 'acknowledged' means. */
export async function syncFile(file: string): Promise<void> {
  const handle = await open(file, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return;
  await syncFile(folder);
}

function isCrossDevice(error: unknown): boolean {
  return (error as NodeJS.ErrnoException).code === 'EXDEV';
}
