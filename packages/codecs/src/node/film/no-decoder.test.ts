import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { sayProblem } from '@chordae/words';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { openOriginal as OpenOriginal } from '../original';

const folder = mkdtempSync(join(tmpdir(), 'chordae-no-decoder-'));
let openOriginal: typeof OpenOriginal;
// Test files share what they import: the reader is imported anew here, and let go again.
beforeAll(async () => {
  vi.resetModules();
  vi.doMock('./choose-decoder', () => ({ filmDecoder: () => Promise.resolve(null) }));
  ({ openOriginal } = await import('../original'));
});
afterAll(() => {
  vi.doUnmock('./choose-decoder');
  vi.resetModules();
  rmSync(folder, { recursive: true });
});

describe('a film where no decoder is installed', () => {
  it.each([
    ['mp4', [0, 0, 0, 16, ...Buffer.from('ftypisom'), 0, 0, 0, 0]],
    ['wmv', [0x30, 0x26, 0xb2, 0x75, 0x8e, 0x66, 0xcf, 0x11, 0, 0, 0, 0, 0, 0, 0, 0]],
    ['mpeg', [0, 0, 1, 0xba, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]],
  ])('is refused by its kind in one sentence: %s', async (what, bytes) => {
    const path = join(folder, what);
    writeFileSync(path, Uint8Array.from(bytes));
    const opened = await openOriginal(path);
    expect(opened).toEqual({ ok: false, problem: { code: 'FILM_DECODER_MISSING', data: { what } } });
    if (!opened.ok) expect(sayProblem(opened.problem)).toContain('install ffmpeg');
  });
});
