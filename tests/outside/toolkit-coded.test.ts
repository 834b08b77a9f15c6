import { execFileSync, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { openOriginal } from '@chordae/codecs/node';
import { afterAll, describe, expect, it } from 'vitest';

/**
 * Files coded anew by DCMTK 3.6.7 and GDCM 3.0.21 (apt-get install dcmtk libgdcm-tools): lossless codings must give back
 * the very pixels of the file they were made from, whose own pixels were compared with both toolkits sample by sample
 * (packages/dicom/README.md). Run where the tools and CHORDAE_SHARED_DATA are at hand.
 */
const shared = process.env['CHORDAE_SHARED_DATA'] ?? '';
const has = (tool: string): boolean =>
  spawnSync(tool, ['--version'], { stdio: 'ignore' }).error === undefined;
const ready =
  existsSync(path.join(shared, 'MANIFEST.json')) &&
  ['dcmcjpls', 'dcmcjpeg', 'dcmconv', 'gdcmconv'].every(has);
const folder = mkdtempSync(path.join(tmpdir(), 'chordae-coded-'));
afterAll(() => rmSync(folder, { recursive: true }));

async function pixels(file: string): Promise<{ sha256: string; samples: Uint8Array[] }> {
  const opened = await openOriginal(file);
  if (!opened.ok) throw new Error(`${file}: ${opened.problem.code}`);
  const hash = createHash('sha256');
  const samples: Uint8Array[] = [];
  for (let frame = 0; frame < opened.value.description.frameCount; frame += 1) {
    const picture = await opened.value.picture(frame);
    if (!picture.ok) throw new Error(`${file}: ${picture.problem.code}`);
    hash.update(picture.value.pixels);
    samples.push(picture.value.pixels);
  }
  await opened.value.close();
  return { sha256: hash.digest('hex'), samples };
}

const sources = [
  ['us_mono_uncompressed_27f.dcm', 'grey clip'],
  ['us_rgb_small_1f.dcm', 'colour by pixel'],
  ['us_oesoph_rgb_planar1_1f.dcm', 'colour by plane'],
  ['us_palette_2frames.dcm', 'palette, two frames'],
  ['echo_rgb_implicit_8f.dcm', 'colour clip with a frame time vector'],
] as const;

/** Name, program and arguments before the two file names, and for which sources not (the tool refuses or converts them). */
const codings: readonly (readonly [string, string, readonly string[], RegExp?])[] = [
  ['explicit VR big endian', 'dcmconv', ['+tb']],
  ['implicit VR little endian', 'dcmconv', ['+ti']],
  ['deflated', 'dcmconv', ['+td']],
  ['undefined lengths', 'dcmconv', ['+te', '-e']],
  ['explicit lengths', 'dcmconv', ['+te', '+e']],
  ['without meta header', 'dcmconv', ['-F', '+te']],
  ['RLE', 'dcmcrle', []],
  ['RLE in small fragments', 'dcmcrle', ['+fs', '8']],
  ['JPEG lossless, first-order', 'dcmcjpeg', ['+e1']],
  ...[1, 2, 3, 4, 5, 6, 7].map(
    (n) => [`JPEG lossless, predictor ${n}`, 'dcmcjpeg', ['+el', '+sv', String(n)]] as const,
  ),
  ['JPEG lossless in small fragments without offset table', 'dcmcjpeg', ['+e1', '+fs', '16', '-ot']],
  ['JPEG-LS by line', 'dcmcjpls', ['+el', '+il']],
  ['JPEG-LS by sample', 'dcmcjpls', ['+el', '+is']],
  ['JPEG-LS by plane', 'dcmcjpls', ['+el', '+in']],
  ['JPEG-LS by GDCM', 'gdcmconv', ['--jpegls'], /planar1/],
  ['JPEG 2000 lossless by GDCM', 'gdcmconv', ['--j2k'], /planar1/],
];

describe.skipIf(!ready)('files coded anew by reference toolkits (DCMTK, GDCM, CHORDAE_SHARED_DATA)', () => {
  it.each(
    sources.flatMap(([file, what]) =>
      codings
        .filter(([, , , not]) => !(not?.test(file) ?? false))
        .map(([name, tool, args]) => ({ file, what, name, tool, args })),
    ),
  )('gives the same pixels for $what as $name', async ({ file, name, tool, args }) => {
    const from = path.join(shared, file);
    const to = path.join(folder, `${file}-${name.replaceAll(' ', '-')}`);
    execFileSync(tool, [...args, from, to], { stdio: 'pipe', timeout: 60_000 });
    expect((await pixels(to)).sha256).toBe((await pixels(from)).sha256);
    rmSync(to);
  });

  it.each([1, 3, 8])('keeps near-lossless JPEG-LS within its bound of %i', async (bound) => {
    const from = path.join(shared, 'us_rgb_small_1f.dcm');
    const to = path.join(folder, `near-${bound}`);
    execFileSync('dcmcjpls', ['+en', '+md', String(bound), from, to], { stdio: 'pipe' });
    const [wanted, got] = [await pixels(from), await pixels(to)];
    let most = 0;
    got.samples[0]?.forEach((value, n) => {
      most = Math.max(most, Math.abs(value - (wanted.samples[0]?.[n] ?? 0)));
    });
    expect(most).toBeLessThanOrEqual(bound);
    expect(most).toBeGreaterThan(0);
  });
});
