import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { openOriginal } from '@chordae/codecs/node';
import { writePart10 } from '@chordae/dicom';
import { afterAll, describe, expect, it } from 'vitest';

/**
 * Deep grey pictures against DCMTK 3.6.7 (apt-get install dcmtk): dcmj2pnm applies rescaling and the first window of the
 * file (+Wi 1), or shows the whole range. It rounds otherwise, so one level of difference is allowed.
 */
const shared = path.join(process.env['CHORDAE_SHARED_DATA'] ?? '', 'tricky');
const has = (tool: string): boolean =>
  spawnSync(tool, ['--version'], { stdio: 'ignore' }).error === undefined;
const ready =
  existsSync(path.join(shared, 'MANIFEST.json')) && ['dcmj2pnm', 'dcmdrle', 'dcmcjpeg'].every(has);
const folder = mkdtempSync(path.join(tmpdir(), 'chordae-windows-'));
afterAll(() => rmSync(folder, { recursive: true }));

async function ours(file: string): Promise<{ pixels: Uint8Array; codes: string[] }> {
  const opened = await openOriginal(file);
  if (!opened.ok) throw new Error(`${file}: ${opened.problem.code}`);
  const picture = await opened.value.picture(0);
  await opened.value.close();
  if (!picture.ok) throw new Error(`${file}: ${picture.problem.code}`);
  return { pixels: picture.value.pixels, codes: opened.value.description.problems.map(({ code }) => code) };
}

function theirs(file: string, args: readonly string[], length: number): Uint8Array {
  const [plain, drawn] = [path.join(folder, 'plain.dcm'), path.join(folder, 'drawn.pgm')];
  const unpacked = spawnSync('dcmdrle', [file, plain], { stdio: 'ignore' }).status === 0;
  execFileSync('dcmj2pnm', ['+op', ...args, unpacked ? plain : file, drawn], { stdio: 'pipe' });
  return new Uint8Array(readFileSync(drawn)).subarray(-length);
}

function furthest(a: Uint8Array, b: Uint8Array): number {
  expect(b.length).toBe(a.length);
  return a.reduce((most, value, n) => Math.max(most, Math.abs(value - (b[n] ?? 999))), 0);
}

/** 64 by 48 pixels, 12 bits, smooth with steps, so that lossy coding has something to round. */
function made(more: Parameters<typeof writePart10>[0]): Uint8Array {
  const words = Uint16Array.from({ length: 64 * 48 }, (_, n) => {
    const [x, y] = [n % 64, Math.floor(n / 64)];
    return Math.min(4095, 40 * x + 20 * y + ((x >> 3) % 2) * 300);
  });
  return writePart10(
    [
      { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.7' },
      { tag: '00080018', vr: 'UI', value: '2.25.77' },
      { tag: '00280002', vr: 'US', value: [1] },
      { tag: '00280004', vr: 'CS', value: 'MONOCHROME2' },
      { tag: '00280010', vr: 'US', value: [48] },
      { tag: '00280011', vr: 'US', value: [64] },
      { tag: '00280100', vr: 'US', value: [16] },
      { tag: '00280101', vr: 'US', value: [12] },
      { tag: '00280102', vr: 'US', value: [11] },
      { tag: '00280103', vr: 'US', value: [0] },
      ...more,
    ],
    { coding: 'native', frames: [new Uint8Array(words.buffer)] },
  );
}

describe.skipIf(!ready)('deep grey pictures as DCMTK shows them (DCMTK, CHORDAE_SHARED_DATA)', () => {
  it.each([
    ['MR_small_implicit.dcm', 'GREY_WINDOWED', ['+Wi', '1'], 1],
    ['bad_sequence.dcm', 'GREY_WINDOWED', ['+Wi', '1'], 1],
    ['CT1_UNC.explicit_big_endian.dcm', 'GREY_WITHOUT_WINDOW', [], 1],
    ['D_CLUNIE_CT1_RLE_FRAGS.dcm', 'GREY_WITHOUT_WINDOW', [], 1],
    ['GH184.dcm', 'GREY_WITHOUT_WINDOW', [], 1],
    // Their window stands in the groups that frames share, where DCMTK does not look for it.
    [
      'encapsulated__multi-frame__CT0012.not_fragmented_no_bot_rle.dcm',
      'GREY_WINDOWED',
      ['+Ww', '49', '102'],
      1,
    ],
    [
      'encapsulated__multi-frame__CT0012.fragmented_no_bot_jpeg_baseline.51.dcm',
      'GREY_WINDOWED',
      ['+Ww', '49', '102'],
      // A lossy coding, where decoders may differ by one of 4,096: through this window that is 2.5 levels.
      3,
    ],
  ] as const)('shows %s within a level (%s)', async (name, code, args, most) => {
    const { pixels, codes } = await ours(path.join(shared, name));
    expect(codes).toContain(code);
    expect(furthest(pixels, theirs(path.join(shared, name), args, pixels.length))).toBeLessThanOrEqual(most);
  });

  it.each([
    ['LINEAR', ['1800', '2500']],
    ['SIGMOID', ['1800', '900']],
  ])('goes through a %s window as DCMTK does', async (shape, [centre, width]) => {
    const file = path.join(folder, `${shape}.dcm`);
    writeFileSync(
      file,
      made([
        { tag: '00281050', vr: 'DS', value: String(centre) },
        { tag: '00281051', vr: 'DS', value: String(width) },
        { tag: '00281056', vr: 'CS', value: shape },
      ]),
    );
    const { pixels } = await ours(file);
    const options = shape === 'SIGMOID' ? ['+Wfs', '+Wi', '1'] : ['+Wi', '1'];
    expect(furthest(pixels, theirs(file, options, pixels.length))).toBeLessThanOrEqual(1);
  });

  it('shows the picture under an overlay as DCMTK does without it', async () => {
    const file = path.join(folder, 'overlay.dcm');
    const overlay: Parameters<typeof writePart10>[0] = [
      { tag: '60000010', vr: 'US', value: [48] },
      { tag: '60000011', vr: 'US', value: [64] },
      { tag: '60000040', vr: 'CS', value: 'G' },
      { tag: '60000050', vr: 'SS', value: [1, 1] },
      { tag: '60000100', vr: 'US', value: [1] },
      { tag: '60000102', vr: 'US', value: [0] },
      { tag: '60003000', vr: 'OW', value: new Uint8Array((64 * 48) / 8).fill(0x0f) },
    ];
    writeFileSync(file, made(overlay));
    const { pixels, codes } = await ours(file);
    expect(codes).toContain('OVERLAYS_NOT_SHOWN');
    expect(furthest(pixels, theirs(file, ['-O'], pixels.length))).toBeLessThanOrEqual(1);
    expect(furthest(pixels, theirs(file, ['+O', '0'], pixels.length))).toBeGreaterThan(100);
  });

  it.each([['60'], ['95']])('decodes 12-bit JPEG of quality %s within a level of DCMTK', async (quality) => {
    const [plain, coded] = [path.join(folder, 'deep.dcm'), path.join(folder, `deep-${quality}.dcm`)];
    writeFileSync(plain, made([]));
    execFileSync('dcmcjpeg', ['+ee', '+q', quality, plain, coded], { stdio: 'pipe' });
    const { pixels } = await ours(coded);
    expect(furthest(pixels, theirs(coded, [], pixels.length))).toBeLessThanOrEqual(1);
    // And it is the picture that was coded.
    expect(furthest(pixels, (await ours(plain)).pixels)).toBeLessThan(12);
  });
});
