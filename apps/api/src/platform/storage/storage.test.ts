import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { folderStorage, storageKey } from './folder-storage';
import type { Storage } from './storage';

const root = mkdtempSync(path.join(os.tmpdir(), 'chordae-storage-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const id = (n: number) => `0190aaaa-0000-7000-8000-${String(n).padStart(12, '0')}`;
const bytesOf = async (storage: Storage, key: string, range?: { start: number; end: number }) => {
  const parts: Buffer[] = [];
  for await (const part of storage.read(key, range)) parts.push(part as Buffer);
  return Buffer.concat(parts);
};

/** What every store must do; a further adapter is one more line in the table. */
describe.each<[string, () => Storage]>([
  ['a local folder', () => folderStorage(mkdtempSync(path.join(root, 'store-')))],
])('the storage contract: %s', (_name, make) => {
  it('gives back what was put, whole and by ranges with both ends in', async () => {
    const storage = make();
    const key = storageKey('packs', id(1));
    await storage.putBytes(key, Buffer.from('0123456789'));
    expect(await storage.size(key)).toBe(10);
    expect((await bytesOf(storage, key)).toString()).toBe('0123456789');
    expect((await bytesOf(storage, key, { start: 2, end: 5 })).toString()).toBe('2345');
    expect((await bytesOf(storage, key, { start: 9, end: 9 })).toString()).toBe('9');
  });

  it('takes a finished file over, so that it is no longer where it was', async () => {
    const storage = make();
    const folder = mkdtempSync(path.join(root, 'upload-'));
    const file = path.join(folder, 'arrived');
    writeFileSync(file, 'original bytes');
    const key = storageKey('originals', id(2));
    await storage.takeFile(key, file);
    expect((await bytesOf(storage, key)).toString()).toBe('original bytes');
    expect(readdirSync(folder)).toEqual([]);
  });

  it('does not touch what is stored when the file to take over is not there', async () => {
    const storage = make();
    const key = storageKey('originals', id(3));
    await storage.putBytes(key, Buffer.from('first'));
    await expect(storage.takeFile(key, path.join(root, 'nowhere'))).rejects.toThrow();
    expect((await bytesOf(storage, key)).toString()).toBe('first');
  });

  it('says null for the size of nothing, and fails on reading it', async () => {
    const storage = make();
    const key = storageKey('pdfs', id(4));
    expect(await storage.size(key)).toBeNull();
    await expect(bytesOf(storage, key)).rejects.toThrow();
  });

  it('replaces by putting again, and never shows a part of it', async () => {
    const storage = make();
    const key = storageKey('packs', id(5));
    const [a, b] = [Buffer.alloc(400_000, 1), Buffer.alloc(700_000, 2)];
    await storage.putBytes(key, a);
    const seen: number[] = [];
    const writing = storage.putBytes(key, b);
    for (let n = 0; n < 20; n += 1) seen.push((await storage.size(key)) ?? -1);
    await writing;
    expect(seen.every((size) => size === a.length || size === b.length)).toBe(true);
    expect(await bytesOf(storage, key)).toEqual(b);
  });

  it('lends a local path, and removes without complaint what is not there', async () => {
    const storage = make();
    const key = storageKey('packs', id(6));
    await storage.putBytes(key, Buffer.from('lent'));
    expect(await storage.withLocalFile(key, (file) => readFile(file, 'utf8'))).toBe('lent');
    await storage.remove(key);
    await storage.remove(key);
    expect(await storage.size(key)).toBeNull();
  });

  it.each(['../../etc/passwd', 'originals/../x', '/packs/00/x', 'packs/00/name.dcm', '', `packs/0/${id(7)}`])(
    'refuses %o as a key',
    async (key) => {
      const storage = make();
      await expect(storage.putBytes(key, Buffer.from('x'))).rejects.toThrow(/not a storage key/);
      await expect(storage.size(key)).rejects.toThrow(/not a storage key/);
      expect(() => storage.read(key)).toThrow(/not a storage key/);
    },
  );
});
