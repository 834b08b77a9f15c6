import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { decideMask } from '../mask';
import { PackStream } from '../pack/pack-stream';
import { exactFrame, makePacks } from './make-packs';
import { openOriginal } from './original';
import { decodePicture, encodeJpeg } from './pictures';
import { sampleFile, sampleFrame, sampleHeight, sampleRegion, sampleWidth } from './sample-file';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'packs-'));
});
afterAll(() => rm(folder, { recursive: true }));

const at = (name: string): string => join(folder, name);

async function framesOf(path: string): Promise<Uint8Array[]> {
  const stream = new PackStream();
  const events = [...stream.push(new Uint8Array(await readFile(path))), ...stream.end()];
  if (events.some((event) => event.kind === 'problem')) throw new Error('pack is damaged');
  return events.flatMap((event) => (event.kind === 'frame' ? [event.bytes] : []));
}

async function jpegs(count: number): Promise<Uint8Array[]> {
  const out = [];
  for (let n = 0; n < count; n += 1)
    out.push(
      await encodeJpeg({ widthPx: sampleWidth, heightPx: sampleHeight, channels: 1, pixels: sampleFrame(n) }),
    );
  return out;
}

function isKept(n: number): boolean {
  const x = n % sampleWidth;
  const y = Math.floor(n / sampleWidth);
  return x >= sampleRegion.x0 && x <= sampleRegion.x1 && y >= sampleRegion.y0 && y <= sampleRegion.y1;
}

describe('packs of a DICOM clip', () => {
  it('keep JPEG frames byte for byte in own, and nothing outside the region in outgoing', async () => {
    const frames = await jpegs(3);
    await writeFile(at('a.dcm'), sampleFile({ coding: 'jpeg', frames }));
    const made = await makePacks({
      originalPath: at('a.dcm'),
      ownPath: at('a.own'),
      outgoingPath: at('a.out'),
      keep: 'auto',
    });
    if (!made.ok) throw new Error(made.problem.code);
    expect(made.value).toMatchObject({
      mask: 'regions',
      keepBoxes: [sampleRegion],
      description: { frameTimesMs: [0, 25, 50] },
    });
    const own = await framesOf(at('a.own'));
    own.forEach((bytes, n) =>
      expect(Buffer.from(bytes.subarray(0, frames[n]?.length))).toEqual(Buffer.from(frames[n] ?? [])),
    );
    for (const bytes of await framesOf(at('a.out'))) {
      const picture = await decodePicture(bytes);
      if (!picture.ok) throw new Error(picture.problem.code);
      // Blocks that lie wholly outside are black but for JPEG rounding; the region starts on a block's edge here.
      picture.value.pixels.forEach((value, n) =>
        isKept(n) ? expect(value).toBeGreaterThan(80) : expect(value).toBeLessThan(8),
      );
    }
    expect((await readdir(folder)).filter((name) => name.endsWith('.part'))).toEqual([]);
  });

  it('write no outgoing pack while nobody has decided, and follow a box or a word', async () => {
    await writeFile(
      at('b.dcm'),
      sampleFile({ coding: 'native', frames: [sampleFrame(0), sampleFrame(1)] }, false),
    );
    const request = { originalPath: at('b.dcm'), ownPath: at('b.own'), outgoingPath: at('b.out') };
    const undecided = await makePacks({ ...request, keep: 'auto' });
    expect(undecided).toMatchObject({ ok: true, value: { mask: 'needs-decision', outgoing: null } });
    expect(await readdir(folder)).not.toContain('b.out');
    const box = { x0: 8, y0: 8, x1: 23, y1: 23 };
    expect(await makePacks({ ...request, ownPath: null, keep: box })).toMatchObject({
      value: { mask: 'box', keepBox: box, own: null },
    });
    expect(await makePacks({ ...request, keep: 'all' })).toMatchObject({
      value: { mask: 'no-name-confirmed', keepBoxes: null },
    });
    // A sector: a wedge that opens downwards, pixels by their middles.
    const outline = [16, 2, 30, 30, 2, 30];
    expect(await makePacks({ ...request, keep: { outline } })).toMatchObject({
      value: { mask: 'fan', keepBox: { x0: 2, y0: 3, x1: 29, y1: 29 } },
    });
    const cover = [{ x0: 0, y0: 20, x1: 63, y1: 47 }];
    expect(await makePacks({ ...request, keep: { keep: { outline }, cover } })).toMatchObject({
      value: { mask: 'fan', keepBox: { y1: 19 } },
    });
    const exact = await exactFrame({ originalPath: at('b.dcm'), frame: 0, keep: { outline } });
    if (!exact.ok) throw new Error(exact.problem.code);
    const { data, info } = await sharp(exact.value.png).raw().toBuffer({ resolveWithObject: true });
    const inWedge = (x: number, y: number) =>
      y + 0.5 > 2 && y < 30 && Math.abs(x + 0.5 - 16) < (y + 0.5 - 2) / 2;
    const wrong = sampleFrame(0).filter((value, n) => {
      const [x, y] = [n % info.width, Math.floor(n / info.width)];
      return data[n * info.channels] !== (inWedge(x, y) ? value : 0);
    });
    expect(wrong).toHaveLength(0);
    expect(await makePacks({ ...request, keep: { outline: [900, 0, 910, 0, 905, 10] } })).toMatchObject({
      value: { mask: 'needs-decision' },
    });
    const shown = await makePacks({ ...request, keep: { x0: 900, y0: 8, x1: 950, y1: 20 } });
    expect(shown).toMatchObject({ value: { mask: 'needs-decision' } });
  });

  it('give one frame with exact pixels, masked unless it stays in the practice', async () => {
    await writeFile(at('c.dcm'), sampleFile({ coding: 'native', frames: [sampleFrame(0), sampleFrame(1)] }));
    for (const keep of ['own', 'auto'] as const) {
      const exact = await exactFrame({ originalPath: at('c.dcm'), frame: 1, keep });
      if (!exact.ok) throw new Error(exact.problem.code);
      const { data, info } = await sharp(exact.value.png).raw().toBuffer({ resolveWithObject: true });
      const grey = data.filter((_, n) => n % info.channels === 0);
      const wanted = sampleFrame(1).map((value, n) => (keep === 'own' || isKept(n) ? value : 0));
      expect(Buffer.from(grey)).toEqual(Buffer.from(wanted));
    }
    expect(await exactFrame({ originalPath: at('c.dcm'), frame: 2, keep: 'own' })).toMatchObject({
      problem: { code: 'FRAME_NOT_THERE' },
    });
    await writeFile(at('c2.dcm'), sampleFile({ coding: 'native', frames: [sampleFrame(0)] }, false));
    expect(await exactFrame({ originalPath: at('c2.dcm'), frame: 0, keep: 'auto' })).toMatchObject({
      problem: { code: 'MASK_NOT_DECIDED' },
    });
  });

  it('refuse a JPEG frame that is cut or of another size', async () => {
    const [first = new Uint8Array(), second = new Uint8Array()] = await jpegs(2);
    const cut = second.subarray(0, second.length - 40);
    await writeFile(at('d.dcm'), sampleFile({ coding: 'jpeg', frames: [first, cut] }));
    const request = {
      originalPath: at('d.dcm'),
      ownPath: at('d.own'),
      outgoingPath: null,
      keep: 'auto' as const,
    };
    expect(await makePacks(request)).toMatchObject({
      ok: false,
      problem: { code: 'FRAME_DAMAGED', data: { frame: 2 } },
    });
    const small = await encodeJpeg({ widthPx: 8, heightPx: 8, channels: 1, pixels: new Uint8Array(64) });
    await writeFile(at('d.dcm'), sampleFile({ coding: 'jpeg', frames: [first, small] }));
    expect(await makePacks(request)).toMatchObject({ ok: false, problem: { code: 'FRAME_SIZE_DIFFERS' } });
    expect(await readdir(folder)).not.toContain('d.own');
  });

  it('stop at the output limit', async () => {
    await writeFile(at('e.dcm'), sampleFile({ coding: 'native', frames: [sampleFrame(0), sampleFrame(1)] }));
    const request = {
      originalPath: at('e.dcm'),
      ownPath: at('e.own'),
      outgoingPath: null,
      keep: 'auto' as const,
    };
    expect(await makePacks(request, { outputMb: 0.001 })).toMatchObject({
      problem: { code: 'OUTPUT_TOO_LARGE' },
    });
  });
});

describe('stills', () => {
  it('lose their Exif data on the way out, and keep their bytes at home', async () => {
    const jpeg = await sharp({ create: { width: 40, height: 30, channels: 3, background: '#446688' } })
      .withExif({ IFD0: { Artist: 'Invented Keeper' } })
      .jpeg()
      .toBuffer();
    await writeFile(at('s.jpg'), jpeg);
    const made = await makePacks({
      originalPath: at('s.jpg'),
      ownPath: at('s.own'),
      outgoingPath: at('s.out'),
      keep: 'all',
    });
    expect(made).toMatchObject({
      ok: true,
      value: { description: { format: 'jpeg', kind: 'still', widthPx: 40, heightPx: 30 } },
    });
    expect((await framesOf(at('s.own')))[0]).toEqual(new Uint8Array(jpeg));
    expect(Buffer.from((await framesOf(at('s.out')))[0] ?? []).toString('latin1')).not.toMatch(
      /Invented|Exif/,
    );
  });

  it('are turned upright as their Exif says', async () => {
    const turned = await sharp({ create: { width: 40, height: 30, channels: 3, background: '#446688' } })
      .withMetadata({ orientation: 6 })
      .jpeg()
      .toBuffer();
    await writeFile(at('t.jpg'), turned);
    const original = await openOriginal(at('t.jpg'));
    if (!original.ok) throw new Error(original.problem.code);
    expect(original.value.description).toMatchObject({ widthPx: 30, heightPx: 40 });
    expect(await original.value.picture(0)).toMatchObject({ value: { widthPx: 30, heightPx: 40 } });
    expect(await original.value.asItCame(0)).toEqual({ ok: true, value: null });
    await original.value.close();
  });

  it('are refused when cut, and PNG stays PNG', async () => {
    const png = await sharp({ create: { width: 40, height: 30, channels: 3, background: '#446688' } })
      .png()
      .toBuffer();
    await writeFile(at('p.png'), png);
    const request = {
      originalPath: at('p.png'),
      ownPath: at('p.own'),
      outgoingPath: at('p.out'),
      keep: 'all' as const,
    };
    expect((await makePacks(request)).ok).toBe(true);
    expect((await framesOf(at('p.out')))[0]?.subarray(1, 4)).toEqual(Uint8Array.from([0x50, 0x4e, 0x47]));
    await writeFile(at('p.png'), png.subarray(0, png.length - 20));
    expect(await makePacks(request)).toMatchObject({ problem: { code: 'FILE_TRUNCATED' } });
  });
});

describe('decideMask', () => {
  it('clamps a drawn box to the picture', async () => {
    await writeFile(at('m.dcm'), sampleFile({ coding: 'native', frames: [sampleFrame(0)] }));
    const original = await openOriginal(at('m.dcm'));
    if (!original.ok) throw new Error(original.problem.code);
    expect(decideMask(original.value.description, { x0: -5, y0: 3, x1: 999, y1: 20 })).toEqual({
      mask: 'box',
      boxes: [{ x0: 0, y0: 3, x1: 63, y1: 20 }],
    });
    await original.value.close();
  });
});
