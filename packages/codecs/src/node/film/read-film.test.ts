import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { FilmDecoder } from './film-decoder';
import { FramesByNumber } from './frames-by-number';
import { readFilm } from './read-film';
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
import { systemFfmpeg } from './system-ffmpeg';

const folder = mkdtempSync(join(tmpdir(), 'chordae-read-film-'));
const frameBytes = (filmWidth * filmHeight * 3) / 2;

/** Unfinished things of these tests lie here, so that what is left behind shows. */
const scratch = join(folder, 'scratch');
const before = process.env['TMPDIR'];
beforeAll(() => {
  mkdirSync(scratch);
  process.env['TMPDIR'] = scratch;
});
afterAll(() => {
  if (before === undefined) delete process.env['TMPDIR'];
  else process.env['TMPDIR'] = before;
  rmSync(folder, { recursive: true });
});

const h264 = ['-c:v', 'libx264', '-qp', '10', '-pix_fmt', 'yuv420p', '-bf', '2'];
const films = new Map<string, Promise<string>>();

/** Each film is made once, for all readers. */
function made(name: string, making: FilmMaking): Promise<string> {
  const known = films.get(name) ?? makeFilm(folder, name, making);
  films.set(name, known);
  return known;
}
const plain = (): Promise<string> => made('plain', { args: h264, ending: 'mp4' });

describe.skipIf(!canMakeFilms).each(filmReaders)('a film read once by %s', (_name, decoder) => {
  it('gives the same pictures by number whether all of it, some or nothing of it is held', async () => {
    const file = await plain();
    const all: Uint8Array[] = [];
    for (const held of [filmFrames, 3, 0]) {
      let runs = 0;
      const read = await readFilm(decoder, file, 'mov', held * frameBytes + 5);
      if (!read.ok) throw new Error(read.problem.code);
      expect(read.value.held.count).toBe(held);
      const frames = new FramesByNumber(read.value, () => {
        runs += 1;
        return decoder.frames(file, 'mov', read.value.head);
      });
      // Two at a time, as packs are made, then back.
      const order = [0, 1, 2, 3, 4, 5, 6, 7, 5, 2, 1];
      const pictures = await Promise.all(order.map((n) => frames.picture(n)));
      for (const [at, picture] of pictures.entries()) {
        if (!picture.ok) throw new Error(picture.problem.code);
        all[order[at] ?? 0] ??= picture.value.pixels;
        expect(Buffer.compare(picture.value.pixels, all[order[at] ?? 0] as Uint8Array)).toBe(0);
      }
      // Going back within what is held costs nothing: 5 is not held by the second, 2 and 1 are.
      expect(runs).toBe({ [filmFrames]: 0, 3: 2, 0: 4 }[held]);
      expect(await frames.picture(filmFrames)).toMatchObject({ problem: { code: 'FRAME_NOT_THERE' } });
      expect(frames.problems()).toEqual([]);
      await frames.close();
      expect(readdirSync(scratch)).toEqual([]);
    }
    expect(Buffer.compare(all[0] as Uint8Array, all[1] as Uint8Array)).not.toBe(0);
  });

  it('begins while the film is asked what it is, and anew where it is not what most are', async () => {
    const whole = {
      size: [61, 45],
      args: ['-c:v', 'libx264', '-pix_fmt', 'yuv444p'],
      ending: 'mp4',
    } as const;
    for (const [file, most, anew] of [
      [await plain(), 1e6, 0],
      [await plain(), 3 * frameBytes, 1],
      [await made('every colour', whole), 1e6, 1],
    ] as const) {
      const ends: string[] = [];
      const counting: FilmDecoder = {
        ...decoder,
        run: async (...how) => {
          const run = await decoder.run(...how);
          ends.push(run.ended);
          return run;
        },
      };
      const read = await readFilm(counting, file, 'mov', most);
      if (!read.ok) throw new Error(read.problem.code);
      await read.value.held.close();
      expect(ends.at(-1)).toBe('well');
      expect(ends).toHaveLength(decoder.besides ? 1 + anew : 1);
    }
  });

  it('reckons the time that a container leaves out from the frame before', async () => {
    // AVI and a bare MPEG-2 stream leave out that of a last frame that was reordered (ffprobe gives none).
    for (const [demuxer, ending, args] of [
      ['avi', 'avi', ['-c:v', 'mpeg4', '-q:v', '2', '-bf', '2']],
      ['mpegvideo', 'm2v', ['-c:v', 'mpeg2video', '-q:v', '2', '-bf', '2', '-f', 'mpeg2video']],
    ] as const) {
      const read = await readFilm(decoder, await made(`left out ${ending}`, { args, ending }), demuxer);
      if (!read.ok) throw new Error(read.problem.code);
      await read.value.held.close();
      expect(read.value.head.frameTimesMs).toEqual(Array.from({ length: filmFrames }, (_, n) => 40 * n));
    }
  });

  it('gives a bare H.264 stream no times', async () => {
    const file = await made('bare', { args: [...h264, '-f', 'h264'], ending: 'h264' });
    const read = await readFilm(decoder, file, 'h264');
    if (!read.ok) throw new Error(read.problem.code);
    await read.value.held.close();
    expect(read.value.head).toMatchObject({ frameCount: filmFrames, frameTimesMs: null });
  });

  it('uses what a damaged film still gives, and says that it is doubtful', async () => {
    const long = Array.from({ length: 30 }, (_, n) => filmFrame(n % 8));
    const args = ['-c:v', 'libx264', '-qp', '4', '-pix_fmt', 'yuv420p', '-g', '5', '-bf', '0'];
    const file = await made('whole', { frames: long, args, ending: 'mp4' });
    const bytes = readFileSync(file);
    // The middle of the coded frames; their table comes after them.
    const media = bytes.indexOf('mdat');
    const length = bytes.readUInt32BE(media - 4);
    for (let at = media + Math.floor(0.5 * length); at < media + 0.6 * length; at += 3)
      bytes[at] = (bytes[at] ?? 0) ^ 0x5a;
    const damaged = join(folder, 'damaged.mp4');
    writeFileSync(damaged, bytes);
    const read = await readFilm(decoder, damaged, 'mov');
    if (!read.ok) throw new Error(read.problem.code);
    const { head, held, complained } = read.value;
    const frames = new FramesByNumber(read.value, () => decoder.frames(damaged, 'mov', head));
    expect(head.frameCount).toBeGreaterThan(20);
    expect(held.count).toBe(head.frameCount);
    for (let n = 0; n < head.frameCount; n += 1) expect((await frames.picture(n)).ok).toBe(true);
    expect(complained).toBe(true);
    expect(frames.problems().map(({ code }) => code)).toContain('FILM_FRAMES_DOUBTFUL');
    await frames.close();
  });

  it('goes on with the next film after one on which its program gave up', async () => {
    // The width in its header, far too large: the program leaves in the middle of asking.
    const file = await made('header', { args: ['-c:v', 'wmv2', '-q:v', '2'], ending: 'wmv' });
    const bytes = Buffer.from(readFileSync(file));
    const size = Buffer.from([filmWidth, 0, 0, 0, filmHeight, 0, 0, 0]);
    for (let at = bytes.indexOf(size); at !== -1; at = bytes.indexOf(size, at + 8))
      bytes.writeUInt32LE(0x7fff_0000, at + 4);
    const impossible = join(folder, 'impossible.wmv');
    writeFileSync(impossible, bytes);
    expect(await readFilm(decoder, impossible, 'asf')).toMatchObject({ problem: { code: 'FILM_DAMAGED' } });
    const read = await readFilm(decoder, file, 'asf');
    if (!read.ok) throw new Error(read.problem.code);
    expect(read.value.head.frameCount).toBe(filmFrames);
    await read.value.held.close();
  });

  it('refuses a film whose frames change their size, by the first that does', async () => {
    const args = ['-c:v', 'mpeg2video', '-q:v', '2', '-f', 'mpegts'];
    const parts = [
      await made('small', { args, ending: 'ts' }),
      await made('turned part', { args, size: [filmHeight, filmWidth], ending: 'ts' }),
    ];
    const file = join(folder, 'both.ts');
    writeFileSync(file, Buffer.concat(parts.map((part) => readFileSync(part))));
    const read = await readFilm(decoder, file, 'mpegts');
    expect(read).toMatchObject({
      ok: false,
      problem: { code: 'FRAME_SIZE_DIFFERS', data: { widthPx: filmHeight, heightPx: filmWidth } },
    });
    expect(!read.ok && Number(read.problem.data['frame'])).toBeGreaterThan(filmFrames - 2);
    expect(readdirSync(scratch)).toEqual([]);
  });

  it('refuses what holds no picture, and leaves nothing behind', async () => {
    const cut = join(folder, 'cut.mp4');
    writeFileSync(cut, readFileSync(await plain()).subarray(0, 900));
    expect(await readFilm(decoder, cut, 'mov')).toMatchObject({ problem: { code: 'FILM_DAMAGED' } });
    expect(readdirSync(scratch)).toEqual([]);
  });
});

describe.skipIf(!canMakeFilms)('a film whose run does not end well', () => {
  const real = filmReaders[0]?.[1] as FilmDecoder;

  it('is read without holding frames where the disk takes none', async () => {
    const full: FilmDecoder = {
      ...real,
      run: async (path, demuxer, how, held) => {
        const run = await real.run(path, demuxer, how, held);
        // As a program ends that cannot write: early, with a part of what was asked.
        return held.frames === 0 ? run : { ...run, frames: run.frames.slice(0, -200), ended: 'badly' };
      },
    };
    const read = await readFilm(full, await plain(), 'mov');
    if (!read.ok) throw new Error(read.problem.code);
    expect(read.value.held.count).toBe(0);
    expect(read.value.head.frameCount).toBe(filmFrames);
    await read.value.held.close();
  });

  // The system's program only: what npm brings writes by way of this process.
  const onLinux = systemFfmpeg() !== null && existsSync('/dev/full') ? ['/dev/full'] : [];
  it.for(onLinux)('knows a disk that takes nothing: %s', async (device) => {
    const file = await made('large', { args: h264, size: [320, 240], ending: 'mp4' });
    const how = {
      yuv: { pixelFormat: 'yuv420p', matrix: 601, fullRange: false },
      interlaced: false,
    } as const;
    const run = await real.run(file, 'mov', how, { path: device, frames: filmFrames });
    expect(run.ended).toBe('badly');
  });

  it('is refused where a limit stopped it or it crashed: what came is no shorter film', async () => {
    const stopped: FilmDecoder = {
      ...real,
      run: async (...how) => ({ ...(await real.run(...how)), ended: 'stopped' }),
    };
    expect(await readFilm(stopped, await plain(), 'mov')).toMatchObject({
      problem: { code: 'DECODER_TIMED_OUT' },
    });
    const crashed: FilmDecoder = {
      ...real,
      run: async (...how) => ({ ...(await real.run(...how)), ended: 'crashed' }),
    };
    expect(await readFilm(crashed, await plain(), 'mov')).toMatchObject({
      problem: { code: 'FILM_DAMAGED' },
    });
    expect(readdirSync(scratch)).toEqual([]);
  });
});
