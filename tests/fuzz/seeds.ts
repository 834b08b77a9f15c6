import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import sharp, { type Sharp } from 'sharp';
import { madeDicom } from '../support/made-dicom';
import { madeLayout, madeLayouts } from '../support/made-layouts';

const noise = Uint8Array.from({ length: 3 * 48 * 48 }, (_, n) => (n * n * 31 + n * 7) & 255);
const raw = (): Sharp => sharp(noise, { raw: { width: 48, height: 48, channels: 3 } });
const bytesOf = async (image: Sharp): Promise<Uint8Array> => new Uint8Array(await image.toBuffer());

/** JPEGs of four kinds: halved and whole chroma, grey, progressive. */
export function seedJpegs(): Promise<Uint8Array[]> {
  return Promise.all([
    bytesOf(raw().jpeg({ quality: 70 })),
    bytesOf(raw().jpeg({ quality: 95, chromaSubsampling: '4:4:4' })),
    bytesOf(raw().greyscale().jpeg({ quality: 50 })),
    bytesOf(raw().jpeg({ progressive: true })),
  ]);
}

/** Pictures of other formats. */
export function seedStills(): Promise<Uint8Array[]> {
  return Promise.all([
    bytesOf(raw().png()),
    bytesOf(raw().png({ palette: true })),
    bytesOf(raw().tiff()),
    bytesOf(raw().avif({ quality: 60 })),
  ]);
}

/** A file coded by a tool; none where the tool is not there. */
function tooled(tool: string, args: (from: string, to: string) => string[], start: Uint8Array): Uint8Array[] {
  const folder = mkdtempSync(path.join(tmpdir(), 'chordae-seed-'));
  const [from, to] = [path.join(folder, 'from'), path.join(folder, 'to')];
  writeFileSync(from, start);
  try {
    execFileSync(tool, args(from, to), { stdio: 'ignore', timeout: 20_000 });
    return [new Uint8Array(readFileSync(to))];
  } catch {
    return [];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Grey of 12 bits: DCMTK codes it as 12-bit JPEG. */
const deep = madeLayouts.filter(({ bits }) => bits === 12);

/** One small object in the codings that DCMTK writes. */
export function codedDicom(): Uint8Array[] {
  const start = madeDicom();
  return [
    ...tooled('dcmcjpls', (a, b) => ['+el', a, b], start),
    ...tooled('dcmcjpls', (a, b) => ['+en', '+md', '2', a, b], start),
    ...tooled('dcmcjpeg', (a, b) => ['+e1', a, b], start),
    ...tooled('dcmcjpeg', (a, b) => ['+el', '+sv', '6', a, b], start),
    ...tooled('dcmconv', (a, b) => ['+tb', a, b], start),
    ...tooled('dcmconv', (a, b) => ['+td', a, b], start),
    ...tooled('dcmconv', (a, b) => ['+te', '-e', a, b], start),
    ...deep.flatMap((layout) => tooled('dcmcjpeg', (a, b) => ['+ee', a, b], madeLayout(layout))),
  ];
}

/** The codings that only whole readers (codec and process) take: baseline and extended JPEG, JPEG 2000, implicit. */
export function moreCodedDicom(): Uint8Array[] {
  const start = madeDicom();
  return [
    ...tooled('dcmcjpeg', (a, b) => ['+eb', a, b], start),
    ...tooled('dcmcjpeg', (a, b) => ['+ee', a, b], start),
    ...tooled('dcmcjpeg', (a, b) => ['+ep', a, b], start),
    ...tooled('gdcmconv', (a, b) => ['--j2k', a, b], start),
    ...tooled('gdcmconv', (a, b) => ['--j2k', '--irreversible', a, b], start),
    ...tooled('dcmconv', (a, b) => ['+ti', a, b], start),
  ];
}

function film(container: string, codec: readonly string[]): Uint8Array[] {
  const source = ['-v', 'error', '-f', 'lavfi', '-i', 'testsrc=size=32x24:rate=10:duration=0.3'];
  return tooled('ffmpeg', (_a, b) => [...source, ...codec, '-f', container, '-y', b], new Uint8Array(1));
}

/** AVI films of the two codings that the own reader takes. */
export function seedAvis(): Uint8Array[] {
  return [...film('avi', ['-c:v', 'mjpeg']), ...film('avi', ['-c:v', 'rawvideo', '-pix_fmt', 'bgr24'])];
}

/** Films for the decoder of others. */
export function seedFilms(): Uint8Array[] {
  return [
    ...film('mp4', ['-c:v', 'libx264', '-pix_fmt', 'yuv420p']),
    ...film('matroska', ['-c:v', 'libx264', '-pix_fmt', 'yuv420p']),
    ...film('avi', ['-c:v', 'mpeg4']),
  ];
}

/** Small files of the folder of open test data, where there is one. */
export function shared(pattern: RegExp, largest = 60_000): Uint8Array[] {
  const folder = process.env['CHORDAE_SHARED_DATA'];
  if (folder === undefined || folder === '') return [];
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => pattern.test(name))
    .map((name) => path.join(folder, name))
    .filter((file) => statSync(file).isFile() && statSync(file).size <= largest)
    .map((file) => new Uint8Array(readFileSync(file)));
}

/** MP4 and MOV films, for the reader of their index. */
export function seedIsoFilms(): Uint8Array[] {
  return [...film('mp4', ['-c:v', 'libx264', '-bf', '2']), ...film('mov', ['-c:v', 'mpeg4'])];
}
