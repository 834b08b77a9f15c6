import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { hasJpegXl } from './jpeg-xl';
import { openOriginal } from './original';

const folder = process.env['CHORDAE_SHARED_DATA'] ?? '';
const there = folder !== '' && existsSync(join(folder, 'MANIFEST.json'));

/**
 * Samples of the third frame, [x, y, [R, G, B]], as DCMTK 3.6.7 gives them (dcmdjpeg +cn, dcm2pnm +op +F 3). JPEG
 * decoders may round differently: at most 2 levels were found over all samples of all frames.
 */
const samples: readonly (readonly [
  string,
  number,
  readonly (readonly [number, number, readonly number[]])[],
])[] = [
  [
    'echo_jpegbaseline_fragmented_8f.dcm',
    320,
    [
      [160, 120, [4, 21, 199]],
      [160, 80, [22, 109, 238]],
      [106, 120, [8, 7, 8]],
      [213, 160, [98, 106, 111]],
      [80, 60, [21, 20, 21]],
    ],
  ],
  [
    'us_jpegbaseline_ybr422_30f.dcm',
    320,
    [
      [160, 120, [9, 8, 9]],
      [160, 80, [35, 34, 35]],
      [106, 120, [5, 4, 5]],
      [213, 160, [5, 4, 5]],
      [80, 60, [0, 0, 0]],
    ],
  ],
  [
    'derived/echo_colour_jpegbaseline_27f.dcm',
    1016,
    [
      [508, 354, [23, 22, 27]],
      [508, 236, [6, 5, 8]],
      [338, 354, [6, 5, 8]],
      [677, 472, [33, 28, 37]],
    ],
  ],
  [
    'drawn/vet_us_colour_jpeg_20f.dcm',
    640,
    [
      [320, 240, [181, 41, 21]],
      [320, 160, [33, 32, 33]],
      [426, 320, [63, 62, 63]],
      [160, 120, [0, 0, 0]],
    ],
  ],
];

describe.skipIf(!there)('JPEG clips (CHORDAE_SHARED_DATA)', () => {
  it.each(samples)('decodes %s within 2 levels of DCMTK', async (name, width, points) => {
    const original = await openOriginal(join(folder, name));
    if (!original.ok) throw new Error(original.problem.code);
    const picture = await original.value.picture(2);
    if (!picture.ok) throw new Error(picture.problem.code);
    expect(picture.value.widthPx).toBe(width);
    for (const [x, y, wanted] of points)
      for (const [channel, level] of wanted.entries())
        expect(
          Math.abs((picture.value.pixels[3 * (y * width + x) + channel] ?? 999) - level),
        ).toBeLessThanOrEqual(2);
    await original.value.close();
  });

  it('decodes JPEG 2000 to the pixels of OpenJPEG (opj_decompress 2.5.0, equal sample by sample)', async () => {
    const original = await openOriginal(join(folder, 'us_j2k_lossy_1f.dcm'));
    if (!original.ok) throw new Error(original.problem.code);
    const picture = await original.value.picture(0);
    if (!picture.ok) throw new Error(picture.problem.code);
    expect(createHash('sha256').update(picture.value.pixels).digest('hex')).toBe(
      '2138e755d364de8970f327301a0079f199e3cbbc0d4a61991a193819d4e19e80',
    );
    await original.value.close();
  });

  // Compared only where the program is installed: it is no part of what npm brings, so its absence is no skipped test.
  it.for(hasJpegXl() ? ['djxl'] : [])(
    'turns JPEG XL back into the very JPEGs it was packed from (djxl; the derived file holds them)',
    { timeout: 60_000 },
    async () => {
      const [packed, plain] = [
        await openOriginal(join(folder, 'echo_colour_jpegxl_27f.dcm')),
        await openOriginal(join(folder, 'derived', 'echo_colour_jpegbaseline_27f.dcm')),
      ];
      if (!packed.ok || !plain.ok) throw new Error('not opened');
      for (const frame of [0, 13, 26]) {
        const [a, b] = [await packed.value.asItCame(frame), await plain.value.asItCame(frame)];
        if (!a.ok || !b.ok || a.value === null || b.value === null) throw new Error('no JPEG');
        const length = Math.min(a.value.bytes.length, b.value.bytes.length);
        // DICOM pads a frame to an even length.
        expect(Math.abs(a.value.bytes.length - b.value.bytes.length)).toBeLessThan(2);
        expect(Buffer.compare(a.value.bytes.subarray(0, length), b.value.bytes.subarray(0, length))).toBe(0);
      }
      await packed.value.close();
      await plain.value.close();
    },
  );
});
