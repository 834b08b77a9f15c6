import { describe, expect, it } from 'vitest';
import { rgbFromYuv, yuvBytes } from './yuv';

/** A frame of one colour. */
function plain(y: number, u: number, v: number, wide = 6, high = 4): Uint8Array {
  const out = new Uint8Array(yuvBytes(wide, high));
  const chroma = ((wide + 1) >> 1) * ((high + 1) >> 1);
  out.fill(y, 0, wide * high);
  out.fill(u, wide * high, wide * high + chroma);
  out.fill(v, wide * high + chroma);
  return out;
}

describe('YUV of films', () => {
  // 8-bit values of the 75 % colour bars, from the matrices of BT.601 and BT.709: red, green and blue are 191 and 0.
  it.each([
    ['601 yellow', [162, 44, 142], { matrix: 601, fullRange: false }, [191, 191, 0]],
    ['601 red', [65, 100, 212], { matrix: 601, fullRange: false }, [191, 0, 0]],
    ['601 blue', [35, 212, 114], { matrix: 601, fullRange: false }, [0, 0, 191]],
    ['709 red', [51, 109, 212], { matrix: 709, fullRange: false }, [191, 0, 0]],
    ['709 green', [133, 63, 52], { matrix: 709, fullRange: false }, [0, 191, 0]],
    ['full-range grey', [77, 128, 128], { matrix: 601, fullRange: true }, [77, 77, 77]],
    ['black', [16, 128, 128], { matrix: 601, fullRange: false }, [0, 0, 0]],
    ['white', [235, 128, 128], { matrix: 709, fullRange: false }, [255, 255, 255]],
  ] as const)('gives %s', (_name, [y, u, v], format, rgb) => {
    const out = rgbFromYuv(plain(y, u, v), 6, 4, format);
    for (let n = 0; n < out.length; n += 1)
      expect(Math.abs((out[n] ?? 999) - (rgb[n % 3] ?? 0))).toBeLessThanOrEqual(1);
  });

  it('spreads chroma evenly between its samples, also at odd sizes', () => {
    const [wide, high] = [5, 3];
    const frame = plain(120, 128, 128, wide, high);
    // The V samples of the upper chroma row: 128, 148, 168.
    frame.set([128, 148, 168], yuvBytes(wide, high) - 6);
    const out = rgbFromYuv(frame, wide, high, { matrix: 601, fullRange: true });
    const red = Array.from({ length: wide }, (_, x) => out[3 * x] ?? 0);
    expect(red).toEqual([120, 134, 148, 162, 176]);
    // The lowest row lies a quarter of the way from the lower chroma row, which is grey, to the upper one.
    const lowest = Array.from({ length: wide }, (_, x) => out[3 * (2 * wide + x)]);
    expect(lowest).toEqual([120, 124, 127, 131, 134]);
  });

  it('is the same whether four pixels are written at a time or two', () => {
    for (const [wide, high] of [
      [4, 1],
      [8, 5],
      [20, 6],
      [60, 45],
    ] as const)
      for (const matrix of [601, 709] as const)
        for (const fullRange of [false, true]) {
          const values = noise(yuvBytes(wide, high), wide + high);
          const byFours = rgbFromYuv(values, wide, high, { matrix, fullRange });
          // One column more, whose chroma is that of the one before: of no multiple of four, and the same but for it.
          const more = oneColumnMore(values, wide, high);
          const byPairs = rgbFromYuv(more, wide + 1, high, { matrix, fullRange });
          for (let y = 0; y < high; y += 1)
            expect(byPairs.subarray(3 * y * (wide + 1), 3 * (y * (wide + 1) + wide))).toEqual(
              byFours.subarray(3 * y * wide, 3 * (y + 1) * wide),
            );
        }
  });
});

/** All values of a byte, in no order (a linear congruential sequence). */
function noise(length: number, seed: number): Uint8Array {
  let state = seed;
  return Uint8Array.from({ length }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state >>> 24;
  });
}

/** Each row of the three planes with its last value once more. */
function oneColumnMore(yuv: Uint8Array, wide: number, high: number): Uint8Array {
  const planes = [
    [wide, high],
    [wide / 2, (high + 1) >> 1],
    [wide / 2, (high + 1) >> 1],
  ] as const;
  const out: number[] = [];
  let at = 0;
  for (const [columns, rows] of planes)
    for (let y = 0; y < rows; y += 1) {
      out.push(...yuv.subarray(at, at + columns), yuv[at + columns - 1] ?? 0);
      at += columns;
    }
  return Uint8Array.from(out);
}
