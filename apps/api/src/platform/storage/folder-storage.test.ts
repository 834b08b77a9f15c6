import { mkdtemp, readdir, rm } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { folderStorage, storageKey } from './folder-storage';
import { storageContract } from './storage-contract';

describe('a folder as store', () => {
  storageContract(async () => {
    const root = await mkdtemp(path.join(os.tmpdir(), 'chordae-store-'));
    return { storage: folderStorage(root), clear: () => rm(root, { recursive: true, force: true }) };
  });

  it('leaves no half-written file beside the stored ones', async () => {
    const root = await mkdtemp(path.join(os.tmpdir(), 'chordae-store-'));
    const at = storageKey('packs', '018f0000-0000-7000-8000-0000000000ab');
    await folderStorage(root).putBytes(at, Buffer.from('x'));
    expect(await readdir(path.join(root, 'packs', 'ab'))).toEqual(['018f0000-0000-7000-8000-0000000000ab']);
    await rm(root, { recursive: true });
  });
});
