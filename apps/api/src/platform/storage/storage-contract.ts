import { randomUUID } from 'node:crypto';
import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { expect, it } from 'vitest';
import { storageKey } from './folder-storage';
import type { Storage } from './storage';

async function all(stream: AsyncIterable<unknown>): Promise<string> {
  const chunks: Buffer[] = [];
  for await (const chunk of stream) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks).toString();
}

/** What every store must do: run this against each adapter. */
export function storageContract(make: () => Promise<{ storage: Storage; clear(): Promise<void> }>): void {
  const withStorage = async (work: (storage: Storage, scratch: string) => Promise<void>) => {
    const { storage, clear } = await make();
    const scratch = await mkdtemp(path.join(os.tmpdir(), 'chordae-contract-'));
    try {
      await work(storage, scratch);
    } finally {
      await rm(scratch, { recursive: true, force: true });
      await clear();
    }
  };
  const key = () => storageKey('originals', randomUUID());

  it('takes a file over: it is under its key, whole, and no longer where it was', async () => {
    await withStorage(async (storage, scratch) => {
      const file = path.join(scratch, 'upload');
      await writeFile(file, 'the bytes of a clip');
      const at = key();
      await storage.takeFile(at, file);
      expect(await storage.size(at)).toBe(19);
      expect(await all(storage.read(at))).toBe('the bytes of a clip');
      await expect(stat(file)).rejects.toThrow();
    });
  });

  it('gives ranges with both ends included', async () => {
    await withStorage(async (storage) => {
      const at = key();
      await storage.putBytes(at, Buffer.from('0123456789'));
      expect(await all(storage.read(at, { start: 2, end: 4 }))).toBe('234');
      expect(await all(storage.read(at, { start: 9, end: 9 }))).toBe('9');
    });
  });

  it('says null for what is not there, replaces whole, and forgets what is removed', async () => {
    await withStorage(async (storage) => {
      const at = key();
      expect(await storage.size(at)).toBeNull();
      await storage.putBytes(at, Buffer.from('first and longer'));
      await storage.putBytes(at, Buffer.from('second'));
      expect(await all(storage.read(at))).toBe('second');
      await storage.remove(at);
      await storage.remove(at);
      expect(await storage.size(at)).toBeNull();
    });
  });

  it('lends a local file for programs that need one', async () => {
    await withStorage(async (storage) => {
      const at = key();
      await storage.putBytes(at, Buffer.from('for the decoder'));
      expect(await storage.withLocalFile(at, (file) => readFile(file, 'utf8'))).toBe('for the decoder');
    });
  });

  it('refuses keys that are none, such as paths out of the store', async () => {
    await withStorage(async (storage) => {
      for (const wrong of [
        '../../etc/passwd',
        'originals/ab/../../x',
        '/absolute',
        'originals/ab/name.dcm',
      ]) {
        await expect(storage.putBytes(wrong, Buffer.from('x'))).rejects.toThrow(/not a storage key/);
      }
    });
  });
}
