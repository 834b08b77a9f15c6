import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { lumaFromRgb } from '../luma';
import { greyFrames } from './grey-frames';

const folder = mkdtempSync(join(tmpdir(), 'chordae-grey-'));
afterAll(() => rmSync(folder, { recursive: true }));

const [width, height] = [23, 17];
const grey = Uint8Array.from({ length: width * height }, (_, n) => (n * 7) & 255);
const coloured = Uint8Array.from({ length: 3 * width * height }, (_, n) => (n * 5) & 255);

async function lumaOf(pixels: Uint8Array, channels: 1 | 3, outputMb?: number) {
  const originalPath = join(folder, 'still.png');
  const outPath = join(folder, 'luma');
  const image = sharp(pixels, { raw: { width, height, channels } });
  writeFileSync(originalPath, await (channels === 1 ? image.toColourspace('b-w') : image).png().toBuffer());
  const read = await greyFrames({ originalPath, outPath, mostFrames: 5 }, outputMb);
  return { read, bytes: new Uint8Array(readFileSync(outPath)) };
}

describe('grey frames', () => {
  it('are the pixels of a grey picture, and the brightness of a coloured one', async () => {
    const plain = await lumaOf(grey, 1);
    expect(plain.read).toMatchObject({ ok: true, value: { widthPx: width, heightPx: height, frames: 1 } });
    expect(plain.bytes).toEqual(grey);
    expect((await lumaOf(coloured, 3)).bytes).toEqual(lumaFromRgb(coloured));
  });

  it('are refused where they would take more room than is allowed', async () => {
    const { read, bytes } = await lumaOf(grey, 1, (width * height - 1) / 1e6);
    expect(read).toMatchObject({ ok: false, problem: { code: 'OUTPUT_TOO_LARGE' } });
    expect(bytes.length).toBe(0);
  });
});
