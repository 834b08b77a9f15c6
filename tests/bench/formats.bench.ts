/**
 * Reading of files: packing of JPEG clips, decoding of the lossless codings against the command-line tools of DCMTK, GDCM,
 * OpenJPEG and ffmpeg in the same run. Ratios are speed to the tool's: above 1 is faster. The tools' times hold their
 * start, ours do not; files come from CHORDAE_SHARED_DATA, tools that are missing are left out with a word.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { makePacks, openOriginal } from '@chordae/codecs/node';
import { figure, median } from './figures';

const shared = process.env['CHORDAE_SHARED_DATA'] ?? '';
if (!existsSync(path.join(shared, 'MANIFEST.json'))) {
  process.stderr.write('formats: CHORDAE_SHARED_DATA names no folder of test files: nothing is measured.\n');
  process.exit(0);
}
const folder = mkdtempSync(path.join(tmpdir(), 'chordae-bench-'));
const at = (name: string): string => path.join(folder, name);
const has = (tool: string): boolean =>
  spawnSync(tool, ['--version'], { stdio: 'ignore' }).error === undefined;
const repeats = 5;

async function seconds(work: () => Promise<void> | void): Promise<number> {
  const times: number[] = [];
  for (let n = 0; n < repeats; n += 1) {
    const began = performance.now();
    await work();
    times.push((performance.now() - began) / 1000);
  }
  return median(times);
}

/** Decodes all frames; gives the bytes of their pixels. */
async function decodeAll(file: string): Promise<number> {
  const opened = await openOriginal(file);
  if (!opened.ok) throw new Error(`${file}: ${opened.problem.code}`);
  let bytes = 0;
  for (let frame = 0; frame < opened.value.description.frameCount; frame += 1) {
    const picture = await opened.value.picture(frame);
    if (!picture.ok) throw new Error(`${file}: ${picture.problem.code}`);
    bytes += picture.value.pixels.length;
  }
  await opened.value.close();
  return bytes;
}

async function decoding(name: string, file: string, tool: string, args: readonly string[]): Promise<void> {
  const bytes = await decodeAll(file);
  const ours = bytes / 1e6 / (await seconds(async () => void (await decodeAll(file))));
  if (!has(tool)) {
    figure(`formats.decode.${name}`, ours, 'MB/s of pixels');
    process.stderr.write(`formats: ${tool} is not installed, ${name} stands alone.\n`);
    return;
  }
  const theirs = bytes / 1e6 / (await seconds(() => void execFileSync(tool, args, { stdio: 'ignore' })));
  figure(`formats.decode.${name}`, ours, 'MB/s of pixels', { name: tool, value: theirs });
}

async function packing(): Promise<void> {
  const file = path.join(shared, 'derived', 'echo_colour_jpegbaseline_27f.dcm');
  const megabytes = statSync(file).size / 1e6;
  let ownMs = 0;
  const pack = (own: boolean, keep: 'auto' | 'all') => async (): Promise<void> => {
    const began = performance.now();
    const onOwn = (): void => {
      ownMs = performance.now() - began;
    };
    const made = await makePacks(
      {
        originalPath: file,
        ownPath: own ? at('own') : null,
        outgoingPath: own ? null : at('out'),
        keep,
      },
      { onOwn },
    );
    if (!made.ok) throw new Error(made.problem.code);
  };
  const whole = await seconds(pack(true, 'auto'));
  figure('formats.pack.jpeg-own', megabytes / (ownMs / 1000), 'MB/s of file');
  figure('formats.read.jpeg-clip', megabytes / whole, 'MB/s of file');
  figure('formats.pack.jpeg-outgoing', megabytes / (await seconds(pack(false, 'auto'))), 'MB/s of file');
  const opened = await openOriginal(file);
  if (!opened.ok) throw new Error(opened.problem.code);
  await opened.value.close();
  const first = await seconds(async () => {
    const original = await openOriginal(file);
    if (!original.ok) throw new Error(original.problem.code);
    await original.value.picture(0);
    await original.value.close();
  });
  figure('formats.first-frame', first * 1000, 'ms');
}

try {
  await packing();
  const mono = path.join(shared, 'us_mono_uncompressed_27f.dcm');
  const make = (tool: string, name: string, ...args: string[]): string | null => {
    if (!has(tool)) return null;
    execFileSync(tool, [...args, mono, at(name)], { stdio: 'ignore' });
    return at(name);
  };
  const rle = make('dcmcrle', 'rle.dcm');
  if (rle !== null) await decoding('rle', rle, 'dcmdrle', [rle, at('plain.dcm')]);
  const ls = make('dcmcjpls', 'ls.dcm');
  if (ls !== null) await decoding('jpeg-ls', ls, 'dcmdjpls', [ls, at('plain.dcm')]);
  const lossless = make('dcmcjpeg', 'll.dcm', '+e1');
  if (lossless !== null) await decoding('jpeg-lossless', lossless, 'dcmdjpeg', [lossless, at('plain.dcm')]);
  const j2k = make('gdcmconv', 'j2k.dcm', '--j2k');
  if (j2k !== null) await decoding('jpeg-2000', j2k, 'gdcmconv', ['--raw', j2k, at('plain.dcm')]);
  const raw = ['-threads', '1', '-pix_fmt', 'rgb24', '-f', 'rawvideo', '-y', at('raw')];
  const mp4 = path.join(shared, 'derived', 'echo_colour_27f.mp4');
  await decoding('h264', mp4, 'ffmpeg', ['-v', 'error', '-i', mp4, ...raw]);
  const avi = path.join(shared, 'derived', 'echo_plax_10f_mjpeg.avi');
  await decoding('mjpeg', avi, 'ffmpeg', ['-v', 'error', '-i', avi, ...raw]);
} finally {
  rmSync(folder, { recursive: true, force: true });
}
