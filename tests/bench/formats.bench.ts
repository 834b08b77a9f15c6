/**
 * Reading of files: packing of JPEG clips, decoding of each coding against the command-line tools of DCMTK, GDCM and
 * ffmpeg in the same run, one after the other in turns, so that both meet the same load. Ratios are speed to the tool's:
 * above 1 is faster; best of seven by the clock, and in processor time, which another load changes less. The tools' times hold their start, ours that of ffmpeg only; frames are asked for two at a time, as the
 * pack maker does. Files come from CHORDAE_SHARED_DATA, tools that are missing are left out with a word.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
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
const repeats = 7;

type Work = () => Promise<void> | void;

async function once(work: Work): Promise<number> {
  const began = performance.now();
  await work();
  return (performance.now() - began) / 1000;
}

async function seconds(work: Work): Promise<number> {
  const times: number[] = [];
  for (let n = 0; n < repeats; n += 1) times.push(await once(work));
  return median(times);
}

/** The best of both, measured in turns, so that what else the machine does counts least; the first turn warms up. */
async function inTurns(ours: Work, theirs: Work): Promise<readonly [number, number]> {
  const times: [number[], number[]] = [[], []];
  for (let n = 0; n <= repeats; n += 1) {
    const [a, b] = [await once(ours), await once(theirs)];
    if (n === 0) continue;
    times[0].push(a);
    times[1].push(b);
  }
  return [Math.min(...times[0]), Math.min(...times[1])];
}

/** Processor seconds of this process, its threads and the programs that it waited for; NaN where the system does not tell. */
function processorSeconds(): number {
  try {
    const fields = readFileSync('/proc/self/stat', 'latin1').split(') ')[1]?.split(' ') ?? [];
    // User and system time of what was waited for, in hundredths (proc(5): cutime, cstime).
    const others = (Number(fields[13]) + Number(fields[14])) / 100;
    const { user, system } = process.cpuUsage();
    return (user + system) / 1e6 + others;
  } catch {
    return Number.NaN;
  }
}

/** Processor seconds of one run, over several: what the clock says on a busy machine is mostly waiting. */
async function processorTime(work: Work): Promise<number> {
  const before = processorSeconds();
  for (let n = 0; n < repeats; n += 1) await work();
  return (processorSeconds() - before) / repeats;
}

/** Decodes all frames; gives the bytes of their pixels. */
async function decodeAll(file: string): Promise<number> {
  const opened = await openOriginal(file);
  if (!opened.ok) throw new Error(`${file}: ${opened.problem.code}`);
  const { frameCount } = opened.value.description;
  let bytes = 0;
  for (let frame = 0; frame < frameCount; frame += 2) {
    const numbers = frame + 1 < frameCount ? [frame, frame + 1] : [frame];
    for (const picture of await Promise.all(numbers.map((n) => opened.value.picture(n)))) {
      if (!picture.ok) throw new Error(`${file}: ${picture.problem.code}`);
      bytes += picture.value.pixels.length;
    }
  }
  await opened.value.close();
  return bytes;
}

async function decoding(
  name: string,
  file: string,
  tool: string,
  args: readonly string[],
  peer = tool,
): Promise<void> {
  const bytes = await decodeAll(file);
  const ours = async (): Promise<void> => void (await decodeAll(file));
  if (!has(tool)) {
    figure(`formats.decode.${name}`, bytes / 1e6 / (await seconds(ours)), 'MB/s of pixels');
    process.stderr.write(`formats: ${tool} is not installed, ${name} stands alone.\n`);
    return;
  }
  const times = await inTurns(ours, () => void execFileSync(tool, args, { stdio: 'ignore' }));
  const [own, other] = times.map((time) => bytes / 1e6 / time) as [number, number];
  figure(`formats.decode.${name}`, own, 'MB/s of pixels', { name: peer, value: other });
  const spent = await processorTime(ours);
  const theirs = await processorTime(() => void execFileSync(tool, args, { stdio: 'ignore' }));
  figure(`formats.decode.${name}.processor`, bytes / 1e6 / spent, 'MB of pixels a processor second', {
    name: peer,
    value: bytes / 1e6 / theirs,
  });
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
  // The peer does what no packing can do without: it copies the file and makes it durable.
  const copy = ['if=' + file, 'of=' + at('copy'), 'bs=1M', 'conv=fdatasync'];
  const own: number[] = [];
  const copied: number[] = [];
  for (let n = 0; n <= 2 * repeats; n += 1) {
    await pack(true, 'auto')();
    const theirs = await once(() => void execFileSync('dd', copy, { stdio: 'ignore' }));
    if (n === 0) continue;
    own.push(ownMs / 1000);
    copied.push(theirs);
  }
  figure('formats.pack.jpeg-own', megabytes / median(own), 'MB/s of file', {
    name: 'dd conv=fdatasync',
    value: megabytes / median(copied),
  });
  figure('formats.pack.jpeg-own.best', megabytes / Math.min(...own), 'MB/s of file', {
    name: 'dd conv=fdatasync',
    value: megabytes / Math.min(...copied),
  });
  const whole = await seconds(pack(true, 'auto'));
  figure('formats.read.jpeg-clip', megabytes / whole, 'MB/s of file');
  figure('formats.pack.jpeg-outgoing', megabytes / (await seconds(pack(false, 'auto'))), 'MB/s of file');
  await firstFrame('formats.first-frame', file);
}

/** From the closed file to its first picture. */
async function firstFrame(name: string, file: string): Promise<void> {
  const first = await seconds(async () => {
    const original = await openOriginal(file);
    if (!original.ok) throw new Error(original.problem.code);
    const picture = await original.value.picture(0);
    if (!picture.ok) throw new Error(picture.problem.code);
    await original.value.close();
  });
  figure(name, first * 1000, 'ms');
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
  const raw = (...more: string[]): string[] => [
    ...more,
    '-pix_fmt',
    'rgb24',
    '-f',
    'rawvideo',
    '-y',
    at('raw'),
  ];
  const exact = ['-sws_flags', 'bicubic+accurate_rnd+full_chroma_int+bitexact'];
  const films: [string, string][] = [['h264', path.join(shared, 'derived', 'echo_colour_27f.mp4')]];
  if (has('ffmpeg')) {
    const args = [
      '-v',
      'error',
      '-stream_loop',
      '9',
      '-i',
      films[0]?.[1] ?? '',
      '-c',
      'copy',
      '-y',
      at('long.mp4'),
    ];
    execFileSync('ffmpeg', args, { stdio: 'ignore' });
    films.push(['h264-270-frames', at('long.mp4')]);
  }
  for (const [name, file] of films) {
    await firstFrame(`formats.first-frame.${name}`, file);
    const input = ['-v', 'error', '-threads', '1', '-i', file];
    await decoding(name, file, 'ffmpeg', [...input, ...raw(...exact)], 'ffmpeg, colours as exact as ours');
    await decoding(`${name}-quick`, file, 'ffmpeg', [...input, ...raw()], 'ffmpeg, its quick colours');
  }
  const avi = path.join(shared, 'derived', 'echo_plax_10f_mjpeg.avi');
  await decoding('mjpeg', avi, 'ffmpeg', ['-v', 'error', '-threads', '1', '-i', avi, ...raw()]);
} finally {
  rmSync(folder, { recursive: true, force: true });
}
