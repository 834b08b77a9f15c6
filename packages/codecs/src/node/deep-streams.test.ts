import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Problem } from '@chordae/contract';
import type { WrittenElement, WrittenFrames } from '@chordae/dicom';
import { writePart10 } from '@chordae/dicom';
import { sayProblem } from '@chordae/words';
import { afterAll, describe, expect, it } from 'vitest';
import { openOriginal } from './original';
import {
  deepHeight,
  deepValues,
  deepWidth,
  jpeg12,
  jpeg12Colour,
  jpeg12Decoded,
  jpeg2000Of12,
  jpegLs,
  lossless,
} from './sample-deep-streams';

const folder = mkdtempSync(join(tmpdir(), 'chordae-deep-'));
afterAll(() => rmSync(folder, { recursive: true }));

interface Header {
  readonly bits: number;
  readonly colour?: boolean;
  readonly more?: readonly WrittenElement[];
}

function written(pixels: WrittenFrames, { bits, colour = false, more = [] }: Header): Uint8Array {
  return writePart10(
    [
      { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.7' },
      { tag: '00080018', vr: 'UI', value: '2.25.78' },
      { tag: '00280002', vr: 'US', value: [colour ? 3 : 1] },
      { tag: '00280004', vr: 'CS', value: colour ? 'YBR_FULL' : 'MONOCHROME2' },
      { tag: '00280010', vr: 'US', value: [deepHeight] },
      { tag: '00280011', vr: 'US', value: [deepWidth] },
      { tag: '00280100', vr: 'US', value: [bits > 8 ? 16 : 8] },
      { tag: '00280101', vr: 'US', value: [bits] },
      { tag: '00280102', vr: 'US', value: [bits - 1] },
      ...more,
    ],
    pixels,
  );
}

async function shown(file: Uint8Array): Promise<{ pixels: Uint8Array; codes: string[] } | Problem> {
  const path = join(folder, 'one.dcm');
  writeFileSync(path, file);
  const opened = await openOriginal(path);
  if (!opened.ok) return opened.problem;
  try {
    const came = await opened.value.asItCame(0);
    if (!came.ok) return came.problem;
    expect(came.value).toBeNull();
    const picture = await opened.value.picture(0);
    if (!picture.ok) return picture.problem;
    return {
      pixels: picture.value.pixels,
      codes: opened.value.description.problems.map(({ code }) => code),
    };
  } finally {
    await opened.value.close();
  }
}

const stream = (bytes: Uint8Array, transferSyntax: string): WrittenFrames => ({
  coding: 'stream',
  transferSyntax: `1.2.840.10008.1.2.4.${transferSyntax}`,
  frames: [bytes],
});
const native = (words: Uint16Array): WrittenFrames => ({
  coding: 'native',
  frames: [new Uint8Array(words.buffer, words.byteOffset, words.byteLength)],
});
async function levels(file: Uint8Array): Promise<Uint8Array> {
  const read = await shown(file);
  if ('code' in read) throw new Error(read.code);
  return read.pixels;
}

describe('grey of 12 bits', () => {
  it('in JPEG is what DCMTK decodes, within a level', async () => {
    const theirs = new Uint16Array(jpeg12Decoded.slice().buffer);
    const ours = await levels(written(stream(jpeg12, '51'), { bits: 12 }));
    const wanted = await levels(written(native(theirs), { bits: 12 }));
    expect(Math.max(...wanted) - Math.min(...wanted)).toBeGreaterThan(200);
    expect(Math.max(...ours.map((v, n) => Math.abs(v - (wanted[n] ?? 999))))).toBeLessThanOrEqual(1);
  });

  it.each([
    ['JPEG lossless coded with 16 bits', lossless, '70'],
    ['JPEG-LS coded with 16 bits', jpegLs, '80'],
  ])('in %s is what was coded', async (_name, bytes, transferSyntax) => {
    const ours = await levels(written(stream(bytes, transferSyntax), { bits: 12 }));
    expect(ours).toEqual(await levels(written(native(deepValues), { bits: 12 })));
  });

  it.each([
    ['JPEG', jpeg12, '51', 'PIXEL_DEPTH_CONTRADICTS'],
    ['JPEG lossless', lossless, '70', 'PIXEL_DEPTH_CONTRADICTS'],
    ['JPEG-LS', jpegLs, '80', 'PIXEL_DEPTH_CONTRADICTS'],
    ['JPEG 2000', jpeg2000Of12, '90', 'PIXEL_DEPTH_NOT_YET_READ'],
  ])(
    'in %s under a header of 8 bits is refused in words, with a window or without',
    async (_n, bytes, uid, code) => {
      const window: WrittenElement[] = [
        { tag: '00281050', vr: 'DS', value: '100' },
        { tag: '00281051', vr: 'DS', value: '50' },
      ];
      for (const more of [[], window]) {
        const read = await shown(written(stream(bytes, uid), { bits: 8, more }));
        if (!('code' in read)) throw new Error('it was shown');
        expect(read.code).toBe(code);
        expect(sayProblem(read)).toMatch(/bits a sample.*not shown/);
      }
    },
  );
});

describe('colour of 12 bits in JPEG', () => {
  it('is refused in words', async () => {
    const read = await shown(written(stream(jpeg12Colour, '51'), { bits: 12, colour: true }));
    if (!('code' in read)) throw new Error('it was shown');
    expect(sayProblem(read)).toContain('packed as JPEG of 12 bits in colour we do not read yet');
  });
});

describe('overlays', () => {
  const bits = Uint8Array.from({ length: (deepWidth * deepHeight) / 8 }, () => 0xff);
  const overlay = (group: string): WrittenElement[] => [
    { tag: `${group}0010`, vr: 'US', value: [deepHeight] },
    { tag: `${group}0011`, vr: 'US', value: [deepWidth] },
    { tag: `${group}0040`, vr: 'CS', value: 'G' },
    { tag: `${group}0050`, vr: 'SS', value: [1, 1] },
    { tag: `${group}0100`, vr: 'US', value: [1] },
    { tag: `${group}0102`, vr: 'US', value: [0] },
    { tag: `${group}3000`, vr: 'OW', value: bits },
  ];

  it('of their own bits are said, and no pixel of the picture shows them', async () => {
    const more = [...overlay('6000'), ...overlay('6002')];
    const read = await shown(written(native(deepValues), { bits: 12, more }));
    if ('code' in read) throw new Error(read.code);
    expect(read.codes).toContain('OVERLAYS_NOT_SHOWN');
    expect(read.pixels).toEqual(await levels(written(native(deepValues), { bits: 12 })));
    expect(sayProblem({ code: 'OVERLAYS_NOT_SHOWN', data: { count: 2 } })).toContain(
      '2 overlays: lines or text to be laid over its picture. They are kept with the original, not shown',
    );
  });

  it('in unused bits of the pixels, as older writers laid them, are said and not shown either', async () => {
    const marked = deepValues.map((value, n) => (n % 7 === 0 ? value | 0x1000 : value));
    const more: WrittenElement[] = [
      { tag: '60000100', vr: 'US', value: [16] },
      { tag: '60000102', vr: 'US', value: [12] },
    ];
    const read = await shown(written(native(marked), { bits: 12, more }));
    if ('code' in read) throw new Error(read.code);
    expect(read.codes).toContain('OVERLAYS_NOT_SHOWN');
    expect(read.pixels).toEqual(await levels(written(native(deepValues), { bits: 12 })));
  });
});
