import { describe, expect, it } from 'vitest';
import { describeDicom } from './describe';
import { locateFrames, readFrame } from './frames';
import { decodePixels } from './pixels';
import { encodeRle } from './rle';
import { memorySource } from './source';
import type { WrittenElement } from './writer';
import { writePart10 } from './writer';

/** A picture of one row, 16 bits a pixel, with more elements of the header. */
async function shown(
  values: readonly number[],
  more: readonly WrittenElement[],
  bits = 16,
  coding: 'native' | 'rle' = 'native',
): Promise<{ levels: number[]; codes: string[] }> {
  const words = Uint16Array.from(values);
  const bytes = new Uint8Array(words.buffer);
  const planes = [1, 0].map((at) => bytes.filter((_, n) => n % 2 === at));
  const file = writePart10(
    [
      { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.7' },
      { tag: '00080018', vr: 'UI', value: '2.25.9' },
      { tag: '00280002', vr: 'US', value: [1] },
      { tag: '00280010', vr: 'US', value: [1] },
      { tag: '00280011', vr: 'US', value: [values.length] },
      { tag: '00280100', vr: 'US', value: [16] },
      { tag: '00280101', vr: 'US', value: [bits] },
      ...(more.some(({ tag }) => tag === '00280102')
        ? []
        : [{ tag: '00280102', vr: 'US', value: [bits - 1] }]),
      ...(more.some(({ tag }) => tag === '00280004')
        ? []
        : [{ tag: '00280004', vr: 'CS', value: 'MONOCHROME2' }]),
      ...more,
    ],
    coding === 'rle' ? { coding, frames: [encodeRle(planes, values.length)] } : { coding, frames: [bytes] },
  );
  const read = await describeDicom(memorySource(file));
  if (!read.ok) throw new Error(read.problem.code);
  const places = await locateFrames(read.value);
  const frame = places.ok ? await readFrame(read.value.header.source, places.value.frames[0] ?? []) : places;
  const picture = frame.ok ? decodePixels(frame.value, read.value) : frame;
  if (!picture.ok) throw new Error(picture.problem.code);
  return {
    levels: [...picture.value.pixels],
    codes: read.value.description.problems.map(({ code }) => code),
  };
}

const window = (centre: string, width: string, shape?: string): WrittenElement[] => [
  { tag: '00281050', vr: 'DS', value: centre },
  { tag: '00281051', vr: 'DS', value: width },
  ...(shape === undefined ? [] : [{ tag: '00281056', vr: 'CS', value: shape }]),
];

describe('grey levels', () => {
  // PS3.3 C.11.2.1.2.1: the function and two of its worked examples (ymin 0, ymax 255).
  it('goes through a linear window as the standard writes it', async () => {
    const whole = await shown([0, 2047, 2048, 4095], window('2048', '4096'), 12);
    expect(whole.levels).toEqual([0, 127, 128, 255]);
    const step = await shown([2046, 2047, 2048, 2049], window('2048', '1'), 12);
    expect(step.levels).toEqual([0, 0, 255, 255]);
    const { levels, codes } = await shown([0, 950, 1000, 1049, 5000], window('1000', '100'));
    expect(levels).toEqual([0, 0, Math.round(((1000 - 999.5) / 99 + 0.5) * 255), 255, 255]);
    expect(codes).toContain('GREY_WINDOWED');
  });

  // C.11.2.1.3: 255 / (1 + e^(-4 (x - c) / w)), and the exact line.
  it('goes through the other functions', async () => {
    const sigmoid = await shown([900, 1000, 1100], window('1000', '200', 'SIGMOID'));
    expect(sigmoid.levels).toEqual([
      Math.round(255 / (1 + Math.E ** 2)),
      Math.round(255 / 2),
      Math.round(255 / (1 + Math.E ** -2)),
    ]);
    const exact = await shown([900, 1000, 1050, 1100], window('1000', '200', 'LINEAR_EXACT'));
    expect(exact.levels).toEqual([0, 128, 191, 255]);
  });

  it('rescales before the window, with signed values too, native and RLE', async () => {
    const rescale = [
      { tag: '00281052', vr: 'DS', value: '-1024' },
      { tag: '00281053', vr: 'DS', value: '2' },
      { tag: '00280103', vr: 'US', value: [1] },
    ];
    for (const coding of ['native', 'rle'] as const) {
      // Stored -100, 512 and 700 are -1224, 0 and 376.
      const { levels } = await shown([-100, 512, 700], [...rescale, ...window('1', '401')], 12, coding);
      expect(levels).toEqual(
        [0, 127, 255].map((level, n) => (n === 1 ? Math.round((-0.5 / 400 + 0.5) * 255) : level)),
      );
    }
  });

  it('takes the table of the file before a window', async () => {
    const table = [
      { tag: '00283002', vr: 'US', value: [4, 10, 8] },
      { tag: '00283006', vr: 'OW', value: Uint8Array.from([0, 0, 50, 0, 200, 0, 255, 0]) },
    ];
    const more = [{ tag: '00283010', vr: 'SQ', value: [table] }, ...window('10', '2')];
    const { levels, codes } = await shown([0, 10, 11, 12, 13, 99], more);
    expect(levels).toEqual([0, 0, 50, 200, 255, 255]);
    expect(codes).toContain('GREY_THROUGH_TABLE');
  });

  it('shows the whole range where no window is named, or the range that the file states, and says so', async () => {
    const plain = await shown([0, 2048, 4095], [], 12);
    expect(plain).toMatchObject({ levels: [0, 128, 255] });
    expect(plain.codes).toContain('GREY_WITHOUT_WINDOW');
    const stated = [
      { tag: '00280106', vr: 'US', value: [1000] },
      { tag: '00280107', vr: 'US', value: [2000] },
    ];
    expect((await shown([900, 1000, 1500, 2000], stated, 12)).levels).toEqual([0, 0, 128, 255]);
  });

  it('inverts MONOCHROME1 after the window, and finds values that lie high in their words', async () => {
    const inverted = [{ tag: '00280004', vr: 'CS', value: 'MONOCHROME1' }, ...window('2048', '4096')];
    expect((await shown([0, 4095], inverted, 12)).levels).toEqual([255, 0]);
    const high = [{ tag: '00280102', vr: 'US', value: [15] }, ...window('2048', '4096')];
    expect((await shown([0, 2048 << 4, (4095 << 4) | 7], high, 12)).levels).toEqual([0, 128, 255]);
  });

  it('leaves 8-bit values alone where the window spans all of them, and not where it is narrower', async () => {
    for (const [centre, width] of [
      ['128', '256'],
      ['127', '254'],
      ['127.5', '255'],
    ] as const) {
      const { levels, codes } = await shown([0, 77, 253, 255], window(centre, width), 8);
      expect(levels).toEqual([0, 77, 253, 255]);
      expect(codes).not.toContain('GREY_WINDOWED');
    }
    expect((await shown([0, 64, 128, 255], window('64', '128'), 8)).levels).toEqual([0, 129, 255, 255]);
  });
});
