import { describe, expect, it } from 'vitest';
import { keptValue, measureDrawn } from './index';

const line = (pixels: number, x = 10) => [
  { x, y: 20 },
  { x: x + pixels, y: 20 },
];
const ratio = (first: number, second: number, by = 1) =>
  measureDrawn([], {
    shape: 'ratio',
    points: line(first * by),
    second: { points: line(second * by, 40) },
  });
const values = (first: number, second: number, by = 1) => {
  const read = ratio(first, second, by);
  if (!read.ok) throw new Error(read.finding);
  return read.value;
};

describe('two lengths on a picture without a scale', () => {
  it('give their ratio and by how much the second is shorter, with what half a pixel at each end allows', () => {
    const [over, less] = values(40, 25);
    expect(over).toMatchObject({ quantity: 'ratio', unit: 'ratio', value: 1.6 });
    // About 39/26 and 41/24: each end may lie half a pixel in or out, and as much aside.
    expect(over?.least).toBeCloseTo(39 / 26, 2);
    expect(over?.most).toBeCloseTo(41 / 24, 2);
    expect(less).toMatchObject({ quantity: 'less', unit: '%', value: 37.5 });
    expect(less?.least).toBeCloseTo((100 * (39 - 26)) / 39, 1);
    expect(less?.most).toBeCloseTo((100 * (41 - 24)) / 41, 1);
  });

  it('give the same on a picture of another size, only less sure where it is small', () => {
    const [small, large] = [values(40, 25), values(40, 25, 7.3)];
    expect(large[0]?.value).toBeCloseTo(1.6, 12);
    const width = (v: typeof small) => (v[0]?.most ?? 0) - (v[0]?.least ?? 0);
    expect(width(large)).toBeLessThan(width(small) / 5);
  });

  it('are kept as LA:Ao or FS and never as a length', () => {
    const read = values(40, 25);
    expect(keptValue(read, 'ratio', 'la-ao-ratio', 'ratio')).toBe(1.6);
    expect(keptValue(read, 'ratio', 'fs-ratio', '%')).toBe(37.5);
    expect(keptValue(read, 'ratio', 'la-sax', 'mm')).toBeNull();
  });

  it('give nothing while points are missing or a length is within a pixel', () => {
    expect(measureDrawn([], { shape: 'ratio', points: line(40) })).toMatchObject({
      finding: 'POINTS_MISSING',
    });
    expect(ratio(40, 1)).toMatchObject({ finding: 'DRAWING_WITHOUT_SIZE' });
    expect(
      measureDrawn([], {
        shape: 'ratio',
        points: [...line(40), { x: 0, y: 0 }],
        second: { points: line(20) },
      }),
    ).toMatchObject({ finding: 'POINTS_MISSING' });
    expect(
      measureDrawn([], {
        shape: 'ratio',
        points: line(40),
        second: {
          points: [
            { x: 0, y: 0 },
            { x: Number.NaN, y: 3 },
          ],
        },
      }),
    ).toMatchObject({ ok: false });
  });
});
