import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { describeDicom } from './describe';
import { locateFrames, readFrame } from './frames';
import { decodePixels } from './pixels';
import { encodeRle } from './rle';
import { memorySource } from './source';
import type { WrittenElement, WrittenFrames } from './writer';
import { writePart10 } from './writer';

const width = 6;
const height = 4;

function elements(photometric: string, frames: number, more: WrittenElement[] = []): WrittenElement[] {
  const colour = photometric === 'RGB' || photometric.startsWith('YBR');
  const base: WrittenElement[] = [
    { tag: '00080005', vr: 'CS', value: 'ISO_IR 192' },
    { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.3.1' },
    { tag: '00080018', vr: 'UI', value: '2.25.77' },
    { tag: '00100010', vr: 'PN', value: 'Müller^Änne' },
    { tag: '00280002', vr: 'US', value: [colour ? 3 : 1] },
    { tag: '00280004', vr: 'CS', value: photometric },
    { tag: '00280008', vr: 'IS', value: String(frames) },
    { tag: '00280010', vr: 'US', value: [height] },
    { tag: '00280011', vr: 'US', value: [width] },
    { tag: '00280100', vr: 'US', value: [8] },
    { tag: '00280101', vr: 'US', value: [8] },
  ];
  return [...base.filter((element) => !more.some((other) => other.tag === element.tag)), ...more];
}

async function firstPicture(file: Uint8Array, frame = 0): Promise<number[] | string> {
  const source = memorySource(file);
  const read = await describeDicom(source);
  if (!read.ok) return read.problem.code;
  const places = await locateFrames(read.value);
  if (!places.ok) return places.problem.code;
  const bytes = await readFrame(source, places.value.frames[frame] ?? []);
  if (!bytes.ok || read.value.header.coding === 'stream') return 'no pixels';
  const picture = decodePixels(bytes.value, read.value);
  return picture.ok ? Array.from(picture.value.pixels) : picture.problem.code;
}

const count = width * height;
const grey = Uint8Array.from({ length: count }, (_, n) => n * 10);
const red = grey;
const green = grey.map((value) => 255 - value);
const blue = grey.map((value) => value >> 1);
const rgb = Array.from({ length: count }, (_, n) => [red[n] ?? 0, green[n] ?? 0, blue[n] ?? 0]).flat();
const planes = Uint8Array.from([...red, ...green, ...blue]);

describe('a written file', () => {
  it('gives back colour by pixel and by plane alike', async () => {
    const byPixel: WrittenFrames = { coding: 'native', frames: [Uint8Array.from(rgb)] };
    const byPlane: WrittenFrames = { coding: 'native', frames: [planes] };
    const planar: WrittenElement[] = [{ tag: '00280006', vr: 'US', value: [1] }];
    expect(await firstPicture(writePart10(elements('RGB', 1), byPixel))).toEqual(rgb);
    expect(await firstPicture(writePart10(elements('RGB', 1, planar), byPlane))).toEqual(rgb);
  });

  it('gives back RLE colour, with and without an offset table', async () => {
    const coded = encodeRle([red, green, blue], width);
    for (const offsetTable of [true, false]) {
      const file = writePart10(elements('RGB', 2), { coding: 'rle', frames: [coded, coded], offsetTable });
      expect(await firstPicture(file, 1)).toEqual(rgb);
    }
  });

  it('inverts MONOCHROME1', async () => {
    const file = writePart10(elements('MONOCHROME1', 1), { coding: 'native', frames: [grey] });
    expect(await firstPicture(file)).toEqual(Array.from(green));
  });

  // Pure red by the forward matrix of PS3.3 C.7.6.3.1.2: Y 76, Cb 85, Cr 255 (rounded); back to within rounding.
  it('turns YBR_FULL and YBR_FULL_422 red into red', async () => {
    const full = Uint8Array.from({ length: 3 * count }, (_, n) => [76, 85, 255][n % 3] ?? 0);
    const half = Uint8Array.from({ length: 2 * count }, (_, n) => [76, 76, 85, 255][n % 4] ?? 0);
    for (const [photometric, frame] of [
      ['YBR_FULL', full],
      ['YBR_FULL_422', half],
    ] as const) {
      const pixels = await firstPicture(
        writePart10(elements(photometric, 1), { coding: 'native', frames: [frame] }),
      );
      expect(pixels.slice(0, 3)).toEqual([254, 0, 0]);
    }
  });

  it('looks palettes up, 8 and 16 bits an entry', async () => {
    const ramp16 = Uint8Array.from({ length: 512 }, (_, n) => (n % 2 === 0 ? 17 : 255 - (n >> 1)));
    const ramp8 = Uint8Array.from({ length: 256 }, (_, n) => 255 - n);
    for (const [bits, table] of [
      [16, ramp16],
      [8, ramp8],
    ] as const) {
      const more: WrittenElement[] = ['1', '2', '3'].flatMap((colour) => [
        { tag: `0028110${colour}`, vr: 'US', value: [256, 0, bits] },
        { tag: `0028120${colour}`, vr: 'OW', value: table },
      ]);
      const pixels = await firstPicture(
        writePart10(elements('PALETTE COLOR', 1, more), { coding: 'native', frames: [grey] }),
      );
      expect(pixels.slice(3, 6)).toEqual([245, 245, 245]);
    }
  });

  it('keeps letters beyond ASCII', async () => {
    const read = await describeDicom(
      memorySource(writePart10(elements('MONOCHROME2', 1), { coding: 'native', frames: [grey] })),
    );
    expect(read.ok && read.value.machine.patientName).toBe('Müller Änne');
  });

  it.each([
    [{ tag: '00280010', vr: 'US', value: [9000] }, 'PICTURE_TOO_LARGE'],
    [{ tag: '00280010', vr: 'US', value: [0] }, 'PICTURE_SIZE_MISSING'],
    [{ tag: '00280008', vr: 'IS', value: '-3' }, 'FRAME_COUNT_IMPLAUSIBLE'],
    [{ tag: '00280008', vr: 'IS', value: '999999' }, 'FRAMES_TOO_MANY'],
    [{ tag: '00280100', vr: 'US', value: [32] }, 'PIXEL_DEPTH_NOT_YET_READ'],
    [{ tag: '00280004', vr: 'CS', value: 'HSV' }, 'COLOUR_NOT_YET_READ'],
    [{ tag: '00280008', vr: 'IS', value: '3' }, 'FILE_TRUNCATED'],
  ] as [WrittenElement, string][])('refuses %j with %s', async (element, code) => {
    const file = writePart10(elements('MONOCHROME2', 1, [element]), { coding: 'native', frames: [grey] });
    expect(await firstPicture(file)).toBe(code);
  });

  it('says FRAMES_MISSING when fewer frames are there than declared', async () => {
    const coded = encodeRle([grey], width);
    expect(
      await firstPicture(writePart10(elements('MONOCHROME2', 3), { coding: 'rle', frames: [coded, coded] })),
    ).toBe('FRAMES_MISSING');
  });

  it('is never taken silently when it is cut, native or RLE', async () => {
    const coded = encodeRle([grey], width);
    const files = [
      writePart10(elements('MONOCHROME2', 1), { coding: 'native', frames: [grey] }),
      writePart10(elements('MONOCHROME2', 2), { coding: 'rle', frames: [coded, coded] }),
    ];
    for (const file of files)
      for (let length = 140; length < file.length; length += 1) {
        // Only the mark that no fragment follows may be missing: then every pixel is there, and it is noted.
        if (file === files[1] && length === file.length - 8) continue;
        expect(await firstPicture(file.subarray(0, length))).toBeTypeOf('string');
      }
  });

  it('never throws when its header is changed at random', async () => {
    const file = writePart10(elements('MONOCHROME2', 2), {
      coding: 'rle',
      frames: [encodeRle([grey], width), encodeRle([grey], width)],
    });
    const change = fc.tuple(fc.integer({ min: 0, max: file.length - 1 }), fc.integer({ min: 0, max: 255 }));
    await fc.assert(
      fc.asyncProperty(fc.array(change, { minLength: 1, maxLength: 6 }), async (changes) => {
        const broken = file.slice();
        for (const [at, value] of changes) broken[at] = value;
        const result = await firstPicture(broken);
        expect(typeof result === 'string' || result.length > 0).toBe(true);
      }),
      { numRuns: 500 },
    );
  });
});
