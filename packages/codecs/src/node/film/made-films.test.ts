import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { recognise } from '@chordae/dicom';
import { afterAll, describe, expect, it } from 'vitest';
import type { Demuxer, FilmDecoder } from './film-decoder';
import { handedRgb } from './film-decoder';
import { readFilm } from './read-film';
import { newFrames } from './repeats';
import type { FilmMaking } from './sample-film';
import {
  canMakeFilms,
  filmFrame,
  filmFrames,
  filmHeight,
  filmReaders,
  filmWidth,
  makeFilm,
} from './sample-film';

/** Films of every kind that clinics send, made here by the system's ffmpeg or the optional WebAssembly build, read by each that is there. */
const folder = mkdtempSync(join(tmpdir(), 'chordae-made-films-'));
afterAll(() => rmSync(folder, { recursive: true }));

const [width, height, count] = [filmWidth, filmHeight, filmFrames];
const films = new Map<string, Promise<string>>();

/** Each film is made once, for both readers. */
function made(name: string, making: FilmMaking): Promise<string> {
  const known = films.get(name) ?? makeFilm(folder, name, making);
  films.set(name, known);
  return known;
}

async function played(decoder: FilmDecoder, file: string, demuxer: Demuxer) {
  const read = await readFilm(decoder, file, demuxer);
  if (!read.ok) throw new Error(read.problem.code);
  const { head, held, complained } = read.value;
  const frames = Array.from({ length: held.count }, (_, n) => held.frame(n) as Uint8Array);
  await held.close();
  expect(complained).toBe(false);
  return { head, frames, kept: newFrames(head), pictures: frames.map((frame) => handedRgb(frame, head)) };
}

/** A second run, for what is not held, gives the same frames. */
async function playsAgain(
  decoder: FilmDecoder,
  file: string,
  demuxer: Demuxer,
  { head, frames }: Awaited<ReturnType<typeof played>>,
): Promise<void> {
  const stream = await decoder.frames(file, demuxer, head);
  for (const frame of frames) expect(Buffer.compare((await stream.next()) as Uint8Array, frame)).toBe(0);
  expect(await stream.next()).toBeNull();
  await stream.close();
}

/** Middle of what is bright, in pixels. */
function squareAt(picture: Uint8Array, wide: number): [number, number] {
  let [sumX, sumY, found] = [0, 0, 0];
  for (let n = 0; n < picture.length / 3; n += 1)
    if ((picture[3 * n] ?? 0) > 150) {
      sumX += n % wide;
      sumY += Math.floor(n / wide);
      found += 1;
    }
  return [sumX / found, sumY / found];
}

const h264 = ['-c:v', 'libx264', '-qp', '10', '-pix_fmt', 'yuv420p'];

describe.skipIf(!canMakeFilms).each(filmReaders)('made films by %s', (_name, decoder) => {
  it.each([
    ['H.264 in MP4', 'mov', 'mp4', h264],
    ['H.264 in MOV', 'mov', 'mov', h264],
    ['MPEG-4 in AVI', 'avi', 'avi', ['-c:v', 'mpeg4', '-q:v', '2']],
    ['WMV', 'asf', 'wmv', ['-c:v', 'wmv2', '-q:v', '2']],
    ['MPEG-1', 'mpeg', 'mpg', ['-c:v', 'mpeg1video', '-q:v', '2']],
    ['MPEG-2', 'mpeg', 'mpg', ['-c:v', 'mpeg2video', '-q:v', '2', '-f', 'vob']],
    ['VP9 in Matroska', 'matroska', 'webm', ['-c:v', 'libvpx-vp9', '-crf', '8']],
  ] as const)('plays %s frame by frame at its times', async (name, demuxer, ending, args) => {
    const file = await made(name, { args, ending });
    const { head, kept, pictures } = await played(decoder, file, demuxer);
    expect(head).toMatchObject({ widthPx: width, heightPx: height, frameCount: count, turnedDegrees: 0 });
    expect(kept).toHaveLength(count);
    head.frameTimesMs?.forEach((time, n) => expect(time).toBeCloseTo(40 * n, -0.5));
    expect(head.frameTimesMs).toHaveLength(count);
    expect(pictures).toHaveLength(count);
    pictures.forEach((picture, n) => {
      const [x, y] = squareAt(picture, width);
      expect(x).toBeCloseTo(6 * n + 5.5, -0.2);
      expect(y).toBeCloseTo(9.5, -0.2);
    });
  });

  it('keeps the times of a film of changing rate', async () => {
    const slower = ['-vf', "setpts='if(lt(N,4),N,2*N-3)/25/TB'", '-fps_mode', 'vfr', '-bf', '2'];
    const file = await made('changing rate', { args: [...h264, ...slower], ending: 'mp4' });
    const { head } = await played(decoder, file, 'mov');
    // 25 a second, then every other: 0, 1, 2, 3, 5, 7, 9, 11 steps of 40 ms.
    expect(head.frameTimesMs?.map(Math.round)).toEqual([0, 40, 80, 120, 200, 280, 360, 440]);
  });

  it('stands a turned phone film upright', async () => {
    const copying = ['-metadata:s:v:0', 'rotate=90'];
    const file = await made('turned', { args: h264, copying, ending: 'mp4' });
    const film = await played(decoder, file, 'mov');
    await playsAgain(decoder, file, 'mov', film);
    const { head, pictures } = film;
    // ffmpeg writes this as a matrix that turns to the left, 270 degrees clockwise.
    expect(head).toMatchObject({ widthPx: height, heightPx: width, turnedDegrees: 270 });
    // What was at the top is at the left then, what was at the left at the bottom.
    const [x, y] = squareAt(pictures[2] as Uint8Array, height);
    expect(x).toBeCloseTo(9.5, -0.2);
    expect(y).toBeCloseTo(width - 1 - (6 * 2 + 5.5), -0.2);
  });

  it('says that lines of two moments are woven, and shows one moment', async () => {
    const weave = [
      '-vf',
      'tinterlace=interleave_top',
      '-flags',
      '+ilme+ildct',
      '-c:v',
      'mpeg2video',
      '-q:v',
      '2',
    ];
    const file = await made('woven', { args: weave, ending: 'mpg' });
    const film = await played(decoder, file, 'mpeg');
    await playsAgain(decoder, file, 'mpeg', film);
    const { head, kept, pictures } = film;
    expect(head.interlaced).toBe(true);
    expect(kept).toHaveLength(head.frameCount);
    // Woven, the second moment's lines would show the square six pixels further on every other row.
    const picture = pictures[1] as Uint8Array;
    const edge = (y: number): number => {
      let x = 0;
      while (x < width && (picture[3 * (y * width + x)] ?? 0) < 150) x += 1;
      return x;
    };
    expect(Math.abs(edge(8) - edge(9))).toBeLessThanOrEqual(2);
  });

  it('plays odd sizes', async () => {
    const odd = [61, 45] as const;
    const args = ['-c:v', 'libx264', '-qp', '10', '-pix_fmt', 'yuv444p'];
    const file = await made('odd', { args, size: odd, ending: 'mp4' });
    const film = await played(decoder, file, 'mov');
    await playsAgain(decoder, file, 'mov', film);
    const { head, pictures } = film;
    expect(head).toMatchObject({ widthPx: 61, heightPx: 45, frameCount: count });
    expect(pictures.map((picture) => picture.length)).toEqual(Array(count).fill(3 * 61 * 45));
    expect(squareAt(pictures[3] as Uint8Array, 61)[0]).toBeCloseTo(6 * 3 + 5.5, -0.2);
  });

  it('says that pixels are not square', async () => {
    const args = [...h264, '-vf', 'setsar=4/3'];
    const { head } = await played(decoder, await made('wide pixels', { args, ending: 'mp4' }), 'mov');
    expect(head.pixelAspect).toBeCloseTo(4 / 3, 2);
  });

  it('leaves exact repeats out and keeps the times of the others', async () => {
    const thrice = Array.from({ length: 3 * count }, (_, n) => filmFrame(Math.floor(n / 3)));
    const args = ['-c:v', 'libx264', '-qp', '0', '-pix_fmt', 'yuv444p'];
    const file = await made('filmed screen', { frames: thrice, args, ending: 'mp4' });
    const { head, kept } = await played(decoder, file, 'mov');
    expect(head.frameCount).toBe(3 * count);
    expect(kept).toEqual(Array.from({ length: count }, (_, n) => 3 * n));
    expect(kept.map((n) => Math.round(head.frameTimesMs?.[n] ?? -1))).toEqual(
      Array.from({ length: count }, (_, n) => 120 * n),
    );
  });

  it('knows each container by its content', async () => {
    for (const [ending, format] of [
      ['mp4', 'mp4'],
      ['mov', 'mov'],
    ] as const) {
      const file = await made(`known-${ending}`, { args: h264, ending });
      expect(recognise(new Uint8Array(readFileSync(file)))).toEqual({ ok: true, value: format });
    }
  });
});
