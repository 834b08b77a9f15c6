import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writePart10 } from '@chordae/dicom';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Original } from '../original';
import { openOriginal } from '../original';
import type { Demuxer, FilmDecoder } from './film-decoder';
import { handedRgb } from './film-decoder';
import { readFilm } from './read-film';
import { systemFfmpeg } from './system-ffmpeg';
import { wasmFfmpeg } from './wasm-ffmpeg';

const shared = process.env['CHORDAE_SHARED_DATA'] ?? '';
const there = existsSync(join(shared, 'MANIFEST.json'));
const decoders = [systemFfmpeg(), wasmFfmpeg()].filter((decoder) => decoder !== null);
const folder = mkdtempSync(join(tmpdir(), 'chordae-film-test-'));
afterAll(() => rmSync(folder, { recursive: true }));

async function opened(path: string): Promise<Original> {
  const original = await openOriginal(path);
  if (!original.ok) throw new Error(original.problem.code);
  return original.value;
}

async function frames(original: Original): Promise<Uint8Array[]> {
  const out: Uint8Array[] = [];
  for (let n = 0; n < original.description.frameCount; n += 1) {
    const picture = await original.picture(n);
    if (!picture.ok) throw new Error(picture.problem.code);
    out.push(picture.value.pixels);
  }
  await original.close();
  return out;
}

function meanDifference(a: Uint8Array, b: Uint8Array): number {
  let sum = 0;
  for (let n = 0; n < a.length; n += 1) sum += Math.abs((a[n] ?? 0) - (b[n] ?? 0));
  return sum / a.length;
}

async function sha256(decoder: FilmDecoder, path: string, demuxer: Demuxer): Promise<string> {
  const read = await readFilm(decoder, path, demuxer);
  if (!read.ok) throw new Error(read.problem.code);
  const { head, held } = read.value;
  expect(held.count).toBe(head.frameCount);
  const hash = createHash('sha256');
  for (let n = 0; n < head.frameCount; n += 1) hash.update(handedRgb(held.frame(n) as Uint8Array, head));
  await held.close();
  return hash.digest('hex');
}

describe.skipIf(!there || decoders.length === 0)('films (a film decoder and CHORDAE_SHARED_DATA)', () => {
  let clip: Uint8Array[] = [];
  beforeAll(async () => {
    clip = await frames(await opened(join(shared, 'echo_plax_mr_ai_palette_rle_10f.dcm')));
  });

  it.each(['echo_plax_10f.mp4', 'echo_plax_10f_mjpeg.avi'])(
    'plays %s as the clip that it was made from, with its times',
    async (name) => {
      const original = await opened(join(shared, 'derived', name));
      expect(original.description).toMatchObject({
        widthPx: 600,
        heightPx: 430,
        frameCount: 10,
        timing: 'film',
      });
      original.description.frameTimesMs?.forEach((time, n) => expect(time).toBeCloseTo(76 * n, 2));
      const film = await frames(original);
      // Lossy coding and halved chroma; another frame of the same clip is further away.
      film.forEach((frame, n) => expect(meanDifference(frame, clip[n] as Uint8Array)).toBeLessThan(4));
      expect(meanDifference(film[0] as Uint8Array, clip[5] as Uint8Array)).toBeGreaterThan(4);
    },
  );

  it('gives any frame, also backwards', async () => {
    const original = await opened(join(shared, 'derived', 'echo_plax_10f.mp4'));
    const [late, early] = [await original.picture(7), await original.picture(2)];
    const again = await original.picture(7);
    expect(late.ok && again.ok && meanDifference(late.value.pixels, again.value.pixels)).toBe(0);
    expect(early.ok && late.ok && meanDifference(early.value.pixels, late.value.pixels)).toBeGreaterThan(0);
    expect(await original.picture(10)).toMatchObject({ problem: { code: 'FRAME_NOT_THERE' } });
    await original.close();
  });

  // Compared only where the program is installed: it is no part of what npm brings, so its absence is no skipped test.
  const comparing = decoders.length < 2 ? [] : [['system', 'WebAssembly']];
  it.for(comparing)('is the same bit for bit by either decoder', async () => {
    const path = join(shared, 'derived', 'echo_colour_27f.mp4');
    const [a, b] = await Promise.all(decoders.map((decoder) => sha256(decoder, path, 'mov')));
    expect(a).toBe(b);
  });

  it('reads H.264 inside DICOM with the times of the header, and refuses one that promises more', async () => {
    const film = new Uint8Array(readFileSync(join(shared, 'derived', 'echo_plax_10f.mp4')));
    const wrapped = (count: number): Uint8Array =>
      writePart10(
        [
          { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.3.1' },
          { tag: '00080018', vr: 'UI', value: '2.25.7' },
          { tag: '00181063', vr: 'DS', value: '76' },
          { tag: '00280002', vr: 'US', value: [3] },
          { tag: '00280004', vr: 'CS', value: 'YBR_PARTIAL_420' },
          { tag: '00280008', vr: 'IS', value: String(count) },
          { tag: '00280010', vr: 'US', value: [430] },
          { tag: '00280011', vr: 'US', value: [600] },
          { tag: '00280100', vr: 'US', value: [8] },
          { tag: '00280101', vr: 'US', value: [8] },
        ],
        {
          coding: 'stream',
          transferSyntax: '1.2.840.10008.1.2.4.102',
          // In two fragments: together they are one film.
          frames: [film.subarray(0, 50_000), film.subarray(50_000)],
          offsetTable: false,
        },
      );
    const path = join(folder, 'film.dcm');
    writeFileSync(path, wrapped(10));
    const original = await opened(path);
    expect(original.description).toMatchObject({ format: 'dicom', timing: 'frame-time', frameCount: 10 });
    const got = await frames(original);
    expect(meanDifference(got[4] as Uint8Array, clip[4] as Uint8Array)).toBeLessThan(4);
    writeFileSync(path, wrapped(12));
    expect(await openOriginal(path)).toEqual({
      ok: false,
      problem: { code: 'FRAMES_MISSING', data: { expected: 12, found: 10 } },
    });
  });

  it('refuses a film cut in the middle, and a playlist that names another file', async () => {
    const film = readFileSync(join(shared, 'derived', 'echo_plax_10f.mp4'));
    const path = join(folder, 'cut.mp4');
    // The table of frames stands at the end of this file.
    writeFileSync(path, film.subarray(0, film.length - 2000));
    expect((await openOriginal(path)).ok).toBe(false);
    writeFileSync(path, `ffconcat version 1.0\nfile ${join(shared, 'derived', 'echo_plax_10f.mp4')}\n`);
    expect(await openOriginal(path)).toMatchObject({ problem: { code: 'NOT_AN_IMAGE' } });
  });
});
