import { describe, expect, it } from 'vitest';
import type { AviFile } from './avi';
import { rawAviPixels, readAvi } from './avi';
import type { Read } from './source';
import { memorySource } from './source';

function text(letters: string): number[] {
  return Array.from(letters, (letter) => letter.charCodeAt(0));
}

function word(value: number): number[] {
  return [value & 255, (value >> 8) & 255, (value >> 16) & 255, (value >>> 24) & 255];
}

function chunk(id: string, body: readonly number[]): number[] {
  return [...text(id), ...word(body.length), ...body, ...(body.length % 2 === 1 ? [0] : [])];
}

const list = (kind: string, ...parts: number[][]): number[] =>
  chunk('LIST', [...text(kind), ...parts.flat()]);

/** Head of a stream (AVISTREAMHEADER) of 25/2 frames a second, and its BITMAPINFOHEADER. */
function stream(kind: string, codec: string | number, bits: number, rows: number, frames = 2): number[] {
  const head = [
    ...text(kind),
    ...text('MJPG'),
    ...word(0),
    ...word(0),
    ...word(0),
    ...word(2),
    ...word(25),
    ...word(0),
  ];
  const code = typeof codec === 'string' ? text(codec) : word(codec);
  const format = [
    ...word(40),
    ...word(3),
    ...word(rows),
    1,
    0,
    bits,
    0,
    ...code,
    ...Array.from({ length: 20 }, () => 0),
  ];
  return list(
    'strl',
    chunk('strh', [...head, ...word(frames), ...word(0), ...word(0), ...word(0), ...word(0)]),
    chunk('strf', format),
  );
}

function avi(parts: readonly number[][]): Promise<Read<AviFile>> {
  return readAvi(memorySource(Uint8Array.from(chunk('RIFF', [...text('AVI '), ...parts.flat()]))));
}

describe('an AVI file', () => {
  it('gives its video frames, sound, indexes and repeats left aside', async () => {
    const movi = list(
      'movi',
      chunk('01wb', [1, 2, 3]),
      list('rec ', chunk('00dc', [9, 9, 9])),
      chunk('00dc', []),
      chunk('ix00', [0, 0]),
      chunk('00dc', [9, 9, 8]),
      chunk('00dc', [9, 9, 8]),
      chunk('00dc', [9, 9, 9]),
    );
    const read = await avi([list('hdrl', stream('vids', 'MJPG', 24, 2), stream('auds', 0, 0, 0)), movi]);
    expect(read).toMatchObject({ ok: true, value: { coding: 'mjpeg', stepMs: 80, repeated: 2, widthPx: 3 } });
    expect(read.ok && read.value.frames.map((frame) => frame.length)).toEqual([3, 3, 3]);
    // An empty chunk and one with the same bytes: what they repeat stays on for their time.
    expect(read.ok && read.value.starts).toEqual([0, 2, 4]);
  });

  it('takes the stream that is the video, where sound comes first', async () => {
    const movi = list('movi', chunk('00wb', [1]), chunk('01db', [7, 7]));
    const read = await avi([list('hdrl', stream('auds', 0, 0, 0), stream('vids', 0, 24, 2, 1)), movi]);
    expect(read.ok && read.value.frames).toHaveLength(1);
  });

  it('turns raw rows upright and blue, green, red into red, green, blue', async () => {
    // Three pixels a row, nine bytes and three of padding; the lower row comes first.
    const lower = [1, 2, 3, 4, 5, 6, 7, 8, 9, 0, 0, 0];
    const upper = [11, 12, 13, 14, 15, 16, 17, 18, 19, 0, 0, 0];
    const read = await avi([
      list('hdrl', stream('vids', 0, 24, 2, 1)),
      list('movi', chunk('00db', [...lower, ...upper])),
    ]);
    if (!read.ok) throw new Error(read.problem.code);
    expect([...(rawAviPixels(Uint8Array.from([...lower, ...upper]), read.value) ?? [])]).toEqual([
      13, 12, 11, 16, 15, 14, 19, 18, 17, 3, 2, 1, 6, 5, 4, 9, 8, 7,
    ]);
    expect(rawAviPixels(Uint8Array.from(lower), read.value)).toBeNull();
  });

  it('refuses one that is cut, and one without video', async () => {
    const whole = Uint8Array.from(
      chunk('RIFF', [
        ...text('AVI '),
        ...list('hdrl', stream('vids', 'MJPG', 24, 2)),
        ...list('movi', chunk('00dc', [1, 2]), chunk('00dc', [3, 4])),
      ]),
    );
    for (let length = 12; length < whole.length; length += 1)
      expect((await readAvi(memorySource(whole.subarray(0, length)))).ok).toBe(false);
    expect(
      await avi([list('hdrl', stream('auds', 0, 0, 0)), list('movi', chunk('00wb', [1]))]),
    ).toMatchObject({
      problem: { code: 'FILM_WITHOUT_PICTURE' },
    });
    // Found by changing files: no stream that can be recognised, or frames that are declared and not there.
    expect(await avi([list('hdrl'), list('movi', chunk('00dc', [1]))])).toMatchObject({
      problem: { code: 'FILM_DAMAGED' },
    });
    expect(
      await avi([list('hdrl', stream('vids', 'MJPG', 24, 2)), list('movi', chunk('0xdc', [1]))]),
    ).toMatchObject({ problem: { code: 'FILM_DAMAGED' } });
  });
});
