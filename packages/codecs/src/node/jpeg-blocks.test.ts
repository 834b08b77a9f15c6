import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { maskJpegBlocks } from '@chordae/dicom';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { openOriginal } from './original';
import { decodePicture } from './pictures';

const [width, height] = [101, 67];
const pixels = Uint8Array.from({ length: 3 * width * height }, (_, n) => {
  const [x, y, c] = [Math.floor(n / 3) % width, Math.floor(n / 3 / width), n % 3];
  return c === 0 ? (x * x + 3 * y) & 255 : c === 1 ? (5 * x + y * y) & 255 : (x * y + 90) & 255;
});
const raw = (channels: 1 | 3) =>
  channels === 3
    ? sharp(pixels, { raw: { width, height, channels } })
    : sharp(
        pixels.filter((_, n) => n % 3 === 0),
        { raw: { width, height, channels } },
      ).toColourspace('b-w');

async function decoded(bytes: Uint8Array): Promise<{ channels: number; pixels: Uint8Array }> {
  const picture = await decodePicture(bytes);
  if (!picture.ok) throw new Error(picture.problem.code);
  return picture.value;
}

const box = { x0: 24, y0: 13, x1: 90, y1: 60 };

/** Counts samples that differ within `inner`, and those that are not black outside `outer`. */
function compare(a: Uint8Array, b: Uint8Array, channels: number, inner: typeof box, outer: typeof box) {
  let [differing, showing] = [0, 0];
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1)
      for (let c = 0; c < channels; c += 1) {
        const at = channels * (y * width + x) + c;
        const isIn = (area: typeof box) => x >= area.x0 && x <= area.x1 && y >= area.y0 && y <= area.y1;
        if (isIn(inner) && a[at] !== b[at]) differing += 1;
        if (!isIn(outer) && (b[at] ?? 0) > 8) showing += 1;
      }
  return { differing, showing };
}

describe('a JPEG masked by blocks', () => {
  it.each([
    ['grey', () => raw(1).jpeg({ quality: 80 }), 1, 8],
    ['colour 4:4:4', () => raw(3).jpeg({ quality: 92, chromaSubsampling: '4:4:4' }), 3, 8],
    ['colour 4:2:0', () => raw(3).jpeg({ quality: 85, chromaSubsampling: '4:2:0' }), 3, 16],
    [
      'with its own tables',
      () => raw(3).jpeg({ quality: 50, optimiseCoding: true, chromaSubsampling: '4:4:4' }),
      3,
      8,
    ],
  ] as const)(
    'keeps every visible pixel of %s bit for bit and shows nothing else',
    async (_name, make, channels, unit) => {
      const jpeg = new Uint8Array(await make().toBuffer());
      const masked = maskJpegBlocks(jpeg, [box]);
      if (masked === null) throw new Error('not masked');
      // Units that lie wholly in the box, less the pixel that halved chroma smooths into.
      const edge = unit === 16 ? 1 : 0;
      const inner = {
        x0: Math.ceil(box.x0 / unit) * unit + edge,
        y0: Math.ceil(box.y0 / unit) * unit + edge,
        x1: Math.floor((box.x1 + 1) / unit) * unit - 1 - edge,
        y1: Math.floor((box.y1 + 1) / unit) * unit - 1 - edge,
      };
      const [before, after] = [await decoded(jpeg), await decoded(masked)];
      expect(compare(before.pixels, after.pixels, channels, inner, box)).toEqual({
        differing: 0,
        showing: 0,
      });
    },
  );

  it('is the same picture when all of it is visible, without what was written beside it', async () => {
    const jpeg = new Uint8Array(
      await raw(3)
        .jpeg({ quality: 85 })
        .withExif({ IFD0: { Artist: 'Somebody Private' } })
        .toBuffer(),
    );
    expect(Buffer.from(jpeg).includes('Somebody Private')).toBe(true);
    const whole = maskJpegBlocks(jpeg, [{ x0: 0, y0: 0, x1: width - 1, y1: height - 1 }]);
    if (whole === null) throw new Error('not masked');
    expect(Buffer.from(whole).includes('Somebody Private')).toBe(false);
    expect(Buffer.compare((await decoded(whole)).pixels, (await decoded(jpeg)).pixels)).toBe(0);
  });

  it('is left to be coded anew when it is progressive, and gives nothing when it is damaged', async () => {
    const progressive = new Uint8Array(await raw(3).jpeg({ progressive: true }).toBuffer());
    expect(maskJpegBlocks(progressive, [box])).toBeNull();
    const jpeg = new Uint8Array(await raw(3).jpeg({ quality: 85 }).toBuffer());
    expect(maskJpegBlocks(jpeg.subarray(0, jpeg.length - 300), [box])).toBeNull();
    // Found by fuzzing: a size that the data cannot fill kept the loop busy for seconds.
    const huge = jpeg.slice();
    const frame = huge.findIndex((byte, n) => byte === 0xff && huge[n + 1] === 0xc0);
    huge.set([0x1f, 0x40, 0x1f, 0x40], frame + 5);
    const began = performance.now();
    expect(maskJpegBlocks(huge, [box])).toBeNull();
    expect(performance.now() - began).toBeLessThan(1500);
    for (let at = 2; at < jpeg.length; at += 7) {
      const broken = jpeg.slice();
      broken[at] = (broken[at] ?? 0) ^ 0x5a;
      // Whatever comes of it, it ends, and never throws.
      maskJpegBlocks(broken, [box]);
    }
  });
});

const shared = process.env['CHORDAE_SHARED_DATA'] ?? '';
const files = [
  'echo_jpegbaseline_fragmented_8f.dcm',
  'us_jpegbaseline_ybr422_30f.dcm',
  'derived/echo_colour_jpegbaseline_27f.dcm',
  'drawn/vet_us_colour_jpeg_20f.dcm',
];

describe.skipIf(!existsSync(join(shared, 'MANIFEST.json')))('real JPEG clips (CHORDAE_SHARED_DATA)', () => {
  it.each(files)('masks %s by blocks, the same picture where all is visible', async (name) => {
    const original = await openOriginal(join(shared, name));
    if (!original.ok) throw new Error(original.problem.code);
    const { widthPx, heightPx } = original.value.description;
    const came = await original.value.asItCame(1);
    if (!came.ok || came.value === null) throw new Error('no JPEG');
    const whole = maskJpegBlocks(came.value.bytes, [{ x0: 0, y0: 0, x1: widthPx - 1, y1: heightPx - 1 }]);
    if (whole === null) throw new Error('not masked');
    expect(Buffer.compare((await decoded(whole)).pixels, (await decoded(came.value.bytes)).pixels)).toBe(0);
    await original.value.close();
  });
});
