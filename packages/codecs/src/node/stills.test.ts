import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { readsHeic } from './heic';
import type { Original } from './original';
import { openOriginal } from './original';
import { heicPixels, heicSample } from './sample-streams';

const folder = mkdtempSync(join(tmpdir(), 'chordae-stills-'));
afterAll(() => rmSync(folder, { recursive: true }));

const [width, height] = [37, 22];
/** Smooth, so that lossy coding stays near, and without symmetry, so that a turn or a swapped colour shows. */
const pixels = Uint8Array.from({ length: 3 * width * height }, (_, n) => {
  const [x, y, c] = [Math.floor(n / 3) % width, Math.floor(n / 3 / width), n % 3];
  return c === 0 ? 6 * x : c === 1 ? 10 * y : 3 * x + 4 * y;
});
const raw = () => sharp(pixels, { raw: { width, height, channels: 3 } });

async function opened(bytes: Uint8Array): Promise<Original> {
  const path = join(folder, 'still');
  writeFileSync(path, bytes);
  const original = await openOriginal(path);
  if (!original.ok) throw new Error(original.problem.code);
  return original.value;
}

async function described(bytes: Uint8Array): Promise<Original['description']> {
  const original = await opened(bytes);
  await original.close();
  return original.description;
}

async function picture(bytes: Uint8Array, page = 0): Promise<Uint8Array> {
  const original = await opened(bytes);
  const read = await original.picture(page);
  await original.close();
  if (!read.ok) throw new Error(read.problem.code);
  return read.value.pixels;
}

function furthest(a: Uint8Array, b: Uint8Array): number {
  expect(a.length).toBe(b.length);
  return a.reduce((most, value, n) => Math.max(most, Math.abs(value - (b[n] ?? 999))), 0);
}

/** A 24-bit bitmap, rows from the bottom, each padded to four bytes. */
function bmp(): Uint8Array {
  const row = (3 * width + 3) & ~3;
  const out = new Uint8Array(54 + row * height);
  const view = new DataView(out.buffer);
  out.set([0x42, 0x4d]);
  [out.length, 0, 54, 40, width, height].forEach((value, n) => view.setUint32(2 + 4 * n, value, true));
  view.setUint16(26, 1, true);
  view.setUint16(28, 24, true);
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1)
      for (let c = 0; c < 3; c += 1)
        out[54 + (height - 1 - y) * row + 3 * x + 2 - c] = pixels[3 * (y * width + x) + c] ?? 0;
  return out;
}

/** Two pages, 72 by 36 and 36 by 36 points, each half red and half white. */
function pdf(): Uint8Array {
  const page = (wide: number, content: number): string =>
    `<< /Type /Page /Parent 2 0 R /MediaBox [0 0 ${wide} 36] /Contents ${content} 0 R /Resources << >> >>`;
  const drawing = '1 0 0 rg 0 0 18 36 re f';
  const objects = [
    '<< /Type /Catalog /Pages 2 0 R >>',
    '<< /Type /Pages /Kids [3 0 R 4 0 R] /Count 2 >>',
    page(72, 5),
    page(36, 5),
    `<< /Length ${drawing.length} >>\nstream\n${drawing}\nendstream`,
  ];
  let text = '%PDF-1.4\n';
  const places = objects.map((object, n) => {
    const at = text.length;
    text += `${n + 1} 0 obj\n${object}\nendobj\n`;
    return at;
  });
  const table = places.map((at) => `${String(at).padStart(10, '0')} 00000 n \n`).join('');
  const head = `xref\n0 6\n0000000000 65535 f \n${table}trailer << /Size 6 /Root 1 0 R >>\n`;
  return Buffer.from(`${text}${head}startxref\n${text.length}\n%%EOF\n`, 'latin1');
}

describe('stills', () => {
  it.each([
    ['lossless WebP', () => raw().webp({ lossless: true }).toBuffer()],
    ['TIFF', () => raw().tiff({ compression: 'lzw' }).toBuffer()],
    ['BMP', () => Promise.resolve(bmp())],
  ])('gives the very pixels of %s', async (_name, make) => {
    expect(furthest(await picture(await make()), pixels)).toBe(0);
  });

  it('gives the pixels of AVIF within the coding', async () => {
    const avif = await raw().avif({ quality: 95, chromaSubsampling: '4:4:4' }).toBuffer();
    expect(await described(avif)).toMatchObject({ format: 'avif', widthPx: width, heightPx: height });
    expect(furthest(await picture(avif), pixels)).toBeLessThanOrEqual(6);
  });

  it.skipIf(!readsHeic())('gives the pixels of HEIC within the coding (libheif-js)', async () => {
    expect(await described(heicSample)).toMatchObject({ format: 'heic', widthPx: 24, heightPx: 16 });
    expect(furthest(await picture(heicSample), heicPixels)).toBeLessThanOrEqual(8);
    writeFileSync(join(folder, 'cut'), heicSample.subarray(0, 600));
    expect(await openOriginal(join(folder, 'cut'))).toMatchObject({ problem: { code: 'FRAME_DAMAGED' } });
  });

  it('gives the pixels of a progressive JPEG within the coding', async () => {
    const jpeg = await raw().jpeg({ progressive: true, quality: 98, chromaSubsampling: '4:4:4' }).toBuffer();
    expect(furthest(await picture(jpeg), pixels)).toBeLessThanOrEqual(6);
  });

  it('shows a CMYK JPEG, which browsers may show inverted, light where it is light', async () => {
    const grey = pixels.map((_, n) => 40 + 5 * (Math.floor(n / 3) % width));
    const jpeg = await sharp(grey, { raw: { width, height, channels: 3 } })
      .toColourspace('cmyk')
      .jpeg({ quality: 98 })
      .toBuffer();
    const original = await opened(jpeg);
    expect(await original.asItCame(0)).toEqual({ ok: true, value: null });
    await original.close();
    // Ink has no deep black: shadows come out lighter. Inverted they would be 175 away.
    expect(furthest(await picture(jpeg), grey)).toBeLessThan(45);
  });

  it('stands a picture upright that its Exif says is turned, and codes it anew', async () => {
    const turned = await raw()
      .jpeg({ quality: 98, chromaSubsampling: '4:4:4' })
      .withMetadata({ orientation: 6 })
      .toBuffer();
    const original = await opened(turned);
    expect(original.description).toMatchObject({ widthPx: height, heightPx: width });
    expect(await original.asItCame(0)).toEqual({ ok: true, value: null });
    await original.close();
    const upright = await picture(turned);
    // Orientation 6: the stored lower left corner is the upper left one as shown (Exif 2.3, 4.6.4).
    for (let c = 0; c < 3; c += 1)
      expect(Math.abs((upright[c] ?? 0) - (pixels[3 * (height - 1) * width + c] ?? 0))).toBeLessThan(8);
  });

  it('plays an animated picture by its own times', async () => {
    const two = Buffer.concat([pixels, pixels.map((value) => 255 - value)]);
    const gif = await sharp(two, { raw: { width, height: 2 * height, channels: 3, pageHeight: height } })
      .gif({ delay: [50, 120] })
      .toBuffer();
    const original = await opened(gif);
    expect(original.description).toMatchObject({
      frameCount: 2,
      frameTimesMs: [0, 50],
      timing: 'film',
      heightPx: height,
    });
    await original.close();
    expect(
      furthest(
        await picture(gif, 1),
        pixels.map((value) => 255 - value),
      ),
    ).toBeLessThan(40);
  });

  it('draws the pages of a document, all of the size of the largest', async () => {
    const original = await opened(pdf());
    expect(original.description).toMatchObject({
      format: 'pdf',
      kind: 'still',
      frameCount: 2,
      widthPx: 150,
      heightPx: 75,
    });
    const [first, second] = [await original.picture(0), await original.picture(1)];
    await original.close();
    if (!first.ok || !second.ok) throw new Error('not drawn');
    const at = (from: Uint8Array, x: number): number[] => [
      ...from.subarray(3 * (40 * 150 + x), 3 * (40 * 150 + x) + 3),
    ];
    expect([at(first.value.pixels, 10), at(first.value.pixels, 100)]).toEqual([
      [255, 0, 0],
      [255, 255, 255],
    ]);
    expect([at(second.value.pixels, 10), at(second.value.pixels, 140)]).toEqual([
      [255, 0, 0],
      [255, 255, 255],
    ]);
  });

  it.each([
    ['BMP', bmp],
    ['PDF', () => pdf().subarray(0, 40)],
  ])('refuses a cut %s', async (_name, make) => {
    const whole = make();
    writeFileSync(join(folder, 'cut'), whole.subarray(0, whole.length - 10));
    expect((await openOriginal(join(folder, 'cut'))).ok).toBe(false);
  });
});
