import { describe, expect, it } from 'vitest';
import type { FilmHeader } from './film-decoder';
import { readHead } from './film-head';
import { newFrames, repeatsIn } from './repeats';

const header: FilmHeader = {
  codedWidthPx: 320,
  codedHeightPx: 240,
  codec: 'h264',
  frameCount: null,
  turnedDegrees: 0,
  interlaced: false,
  pixelAspect: 1,
  yuv: { pixelFormat: 'yuv420p', matrix: 601, fullRange: false },
};

/** As ffmpeg writes a list: time in µs, bytes and hash of each frame. */
function list(frames: readonly (readonly [number, number, string])[], size = '320x240'): string {
  return [
    '#format: frame checksums',
    '#tb 0: 1/1000000',
    `#dimensions 0: ${size}`,
    ...frames.map(([time, bytes, hash]) => `0, ${time}, ${time}, 40000, ${bytes}, ${hash}`),
    '',
  ].join('\n');
}

/** Twice its number as time, one more for a woven frame. */
const strips = (bytes: readonly number[], woven = false): string =>
  list(bytes.map((size, n) => [2 * n + (woven && n > 0 ? 1 : 0), size, 'f']));
const plain = (times: readonly number[], hashes: readonly string[] = times.map(String)) => ({
  frames: list(times.map((time, n) => [time, 115_200, hashes[n] ?? ''])),
  strips: strips(times.map(() => 960)),
});

describe('what a film is once it has been decoded', () => {
  it('keeps a variable frame rate as it is, from the first frame on', () => {
    expect(readHead(header, plain([500_000, 533_333, 600_000]), 'mov')).toMatchObject({
      ok: true,
      value: { frameTimesMs: [0, 33.333, 100], frameCount: 3, widthPx: 320, heightPx: 240 },
    });
  });

  it('gives no times when they run backwards or stand still, or where the decoder would make them up', () => {
    expect(readHead(header, plain([200_000, 100_000]), 'mov')).toMatchObject({
      value: { frameTimesMs: null },
    });
    expect(readHead(header, plain([0, 0]), 'mov')).toMatchObject({ value: { frameTimesMs: null } });
    for (const stream of ['h264', 'hevc'] as const)
      expect(readHead(header, plain([0, 40_000]), stream)).toMatchObject({ value: { frameTimesMs: null } });
  });

  it('stands upright as the decoder gave it', () => {
    const run = { ...plain([0]), frames: list([[0, 115_200, 'a']], '240x320') };
    expect(readHead({ ...header, turnedDegrees: 90 }, run, 'mov')).toMatchObject({
      value: { widthPx: 240, heightPx: 320, turnedDegrees: 90 },
    });
  });

  it('is woven where a frame is, whatever its header says', () => {
    const run = { ...plain([0, 40_000]), strips: strips([960, 960], true) };
    expect(readHead(header, run, 'mpeg')).toMatchObject({ value: { interlaced: true } });
    expect(readHead({ ...header, interlaced: true }, plain([0]), 'mpeg')).toMatchObject({
      value: { interlaced: false },
    });
  });

  it('names the first frame of another size, also where only its sides changed places', () => {
    const [a, b] = [
      [0, 115_200, 'a'],
      [40_000, 115_200, 'b'],
    ] as const;
    const larger = { ...plain([0, 40_000, 80_000]), frames: list([a, b, [80_000, 120_000, 'c']]) };
    expect(readHead(header, larger, 'mpegts')).toEqual({ differs: 2 });
    const turned = { ...plain([0, 40_000]), strips: strips([960, 720]) };
    expect(readHead(header, turned, 'mpegts')).toEqual({ differs: 1 });
  });

  it('leaves repeats out, except where nothing says when they were shown or lines are woven', () => {
    const read = readHead(header, plain([0, 40_000, 80_000, 120_000], ['a', 'a', 'b', 'a']), 'mov');
    if (!('ok' in read) || !read.ok) throw new Error('not read');
    expect(newFrames(read.value)).toEqual([0, 2, 3]);
    expect(repeatsIn(read.value)).toBe(1);
    expect(newFrames({ ...read.value, frameTimesMs: null })).toEqual([0, 1, 2, 3]);
    expect(newFrames({ ...read.value, interlaced: true })).toEqual([0, 1, 2, 3]);
  });

  it.each([
    ['no frame', plain([]), 'FILM_DAMAGED'],
    ['a list cut in its first line', { ...plain([]), frames: list([]) + '0, 0, 0, 400' }, 'FILM_DAMAGED'],
    ['more frames than are opened', plain(Array.from({ length: 20_001 }, (_, n) => n)), 'FRAMES_TOO_MANY'],
    [
      'frames larger than its header says',
      { ...plain([0]), frames: list([[0, 1, 'a']], '9000x20') },
      'PICTURE_TOO_LARGE',
    ],
  ])('is refused with %s', (_what, run, code) => {
    expect(readHead(header, run, 'mov')).toMatchObject({ ok: false, problem: { code } });
  });
});
