import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { openOriginal } from '@chordae/codecs/node';
import { afterAll, describe, expect, it } from 'vitest';
import type { MadeLayout } from '../support/made-layouts';
import { layoutHeight, layoutWidth, madeLayout, madeLayouts } from '../support/made-layouts';

/**
 * Every pixel layout crossed with every transfer syntax: made here, validated by dciodvfy (dicom3tools), drawn by DCMTK
 * 3.6.7, coded anew by DCMTK, GDCM 3.0.21, OpenJPEG 2.5, OpenJPH 0.9 and libjxl 0.7. A lossless coding must give back
 * the pixels of the native file. Run where the tools are installed.
 */
const has = (tool: string): boolean =>
  spawnSync(tool, ['--version'], { stdio: 'ignore' }).error === undefined;
const ready = ['dcmconv', 'dcmcjpeg', 'gdcmconv', 'dciodvfy'].every(has);
const folder = mkdtempSync(path.join(tmpdir(), 'chordae-layouts-'));
afterAll(() => rmSync(folder, { recursive: true }));
const at = (name: string): string => path.join(folder, name);

async function frames(file: string): Promise<Uint8Array[]> {
  const opened = await openOriginal(file);
  if (!opened.ok) throw new Error(opened.problem.code);
  const out: Uint8Array[] = [];
  for (let n = 0; n < opened.value.description.frameCount; n += 1) {
    const picture = await opened.value.picture(n);
    if (!picture.ok) throw new Error(picture.problem.code);
    out.push(picture.value.pixels);
  }
  await opened.value.close();
  return out;
}

function furthest(a: readonly Uint8Array[], b: readonly Uint8Array[]): number {
  expect(b.map((frame) => frame.length)).toEqual(a.map((frame) => frame.length));
  let most = 0;
  a.forEach((frame, f) => {
    frame.forEach((value, n) => {
      most = Math.max(most, Math.abs(value - (b[f]?.[n] ?? 999)));
    });
  });
  return most;
}

function native(layout: MadeLayout): string {
  const file = at('native.dcm');
  writeFileSync(file, madeLayout(layout));
  return file;
}

/** Coding, program with its arguments, and the layouts that the program refuses or converts. */
const codings: readonly (readonly [string, readonly string[], RegExp?])[] = [
  ['implicit VR', ['dcmconv', '+ti']],
  ['big endian', ['dcmconv', '+tb']],
  ['deflated', ['dcmconv', '+td']],
  ['RLE', ['dcmcrle'], /422/],
  ['RLE in fragments without offset table', ['dcmcrle', '+fs', '1', '-ot'], /422/],
  // DCMTK converts YBR, fits deep grey to the bits that are used, and changes two frames by planes on its own way back too.
  ['JPEG lossless', ['dcmcjpeg', '+e1'], /YBR|bits|RGB by plane/],
  ['JPEG lossless, predictor 6', ['dcmcjpeg', '+el', '+sv', '6'], /YBR|bits|RGB by plane/],
  ['JPEG-LS', ['dcmcjpls', '+el'], /YBR/],
  ['JPEG-LS by plane', ['dcmcjpls', '+el', '+in'], /YBR/],
  ['JPEG 2000', ['gdcmconv', '--j2k'], /plane|422|bits|segments/],
];

describe.skipIf(!ready)('every layout in every coding (DCMTK, GDCM, dicom3tools)', () => {
  it.each(madeLayouts)('writes a valid object: $name', (layout) => {
    const said = spawnSync('dciodvfy', [native(layout)], { encoding: 'utf8' }).stderr;
    const errors = said.split('\n').filter((line) => line.startsWith('Error'));
    expect(errors.filter((line) => !(layout.retired?.test(line) ?? false))).toEqual([]);
  });

  // DCMTK does not read tables in segments.
  it.each(madeLayouts.filter(({ name }) => !/segments/.test(name)))(
    'shows what DCMTK draws: $name',
    async (layout) => {
      const file = native(layout);
      const ours = await frames(file);
      const grey = layout.colour.startsWith('MONOCHROME');
      const options = layout.bits === 12 ? ['+Wi', '1'] : [];
      execFileSync('dcm2pnm', ['+op', '+Fa', ...options, file, at('drawn')], { stdio: 'pipe' });
      const theirs = ours.map((pixels, n) => {
        const drawn = new Uint8Array(readFileSync(at(`drawn.${n}.${grey ? 'pgm' : 'ppm'}`)));
        return drawn.subarray(drawn.length - pixels.length);
      });
      // YBR is converted in whole numbers by DCMTK, and deep or inverted grey rounded otherwise.
      const most = /YBR/.test(layout.name) ? 2 : layout.bits > 8 || layout.colour === 'MONOCHROME1' ? 1 : 0;
      expect(furthest(ours, theirs)).toBeLessThanOrEqual(most);
    },
  );

  it('expands a table in segments to the plain one', async () => {
    const [plain, segments] = ['palette of 16-bit entries', 'palette in segments'].map((name) =>
      madeLayouts.find((layout) => layout.name === name),
    );
    if (plain === undefined || segments === undefined) throw new Error('no such layouts');
    const wanted = await frames(native(plain));
    expect(furthest(await frames(native(segments)), wanted)).toBe(0);
  });

  const crossed = madeLayouts.flatMap((layout) =>
    codings
      .filter(([, , not]) => !(not?.test(layout.name) ?? false))
      .map(([coding, [tool = '', ...args]]) => ({ layout, name: layout.name, coding, tool, args })),
  );
  it.each(crossed)('gives the same pixels: $name, $coding', async ({ layout, tool, args }) => {
    const from = native(layout);
    const to = at('coded.dcm');
    execFileSync(tool, [...args, from, to], { stdio: 'pipe', timeout: 60_000 });
    expect(furthest(await frames(to), await frames(from))).toBe(0);
  });
});

/** Streams of programs that know no DICOM, wrapped here. `[coding, transfer syntax, program, arguments, ending of the result]`. */
const streams: readonly (readonly [
  string,
  string,
  string,
  (from: string, to: string) => string[],
  string,
])[] = [
  ['JPEG 2000 of OpenJPEG', '4.90', 'opj_compress', (from, to) => ['-n', '2', '-i', from, '-o', to], 'j2k'],
  [
    'HTJ2K of OpenJPH',
    '4.201',
    'ojph_compress',
    (from, to) => ['-i', from, '-o', to, '-reversible', 'true', '-num_decomps', '2'],
    'j2c',
  ],
  ['JPEG XL of libjxl', '4.110', 'cjxl', (from, to) => ['-d', '0', from, to], 'jxl'],
];

const streamed = madeLayouts.filter(({ name }) => name === 'grey' || name === 'RGB by pixel');

describe.each(streams)('lossless streams in DICOM: %s', (_coding, uid, tool, args, ending) => {
  it.skipIf(!has(tool)).each(streamed)('gives the same pixels: $name', async (layout) => {
    const coded = [0, 1].map((n) => {
      const kind = layout.samples === 1 ? 'pgm' : 'ppm';
      const head = `${kind === 'pgm' ? 'P5' : 'P6'}\n${layoutWidth} ${layoutHeight}\n255\n`;
      writeFileSync(at(`frame.${kind}`), Buffer.concat([Buffer.from(head), layout.frame(n)]));
      execFileSync(tool, args(at(`frame.${kind}`), at(`frame.${ending}`)), { stdio: 'pipe' });
      return new Uint8Array(readFileSync(at(`frame.${ending}`)));
    });
    const transferSyntax = `1.2.840.10008.1.2.${uid}`;
    writeFileSync(at('wrapped.dcm'), madeLayout(layout, { coding: 'stream', transferSyntax, frames: coded }));
    expect(furthest(await frames(at('wrapped.dcm')), [layout.frame(0), layout.frame(1)])).toBe(0);
  });
});
