import { describe, expect, it } from 'vitest';
import { blur } from './plane';

const width = 13;
const height = 9;
const planeOf = (value: (x: number, y: number) => number) => ({
  width,
  height,
  values: Float32Array.from({ length: width * height }, (_, n) => value(n % width, Math.floor(n / width))),
});

describe('a blurred picture', () => {
  // A running mean of equal numbers is that number (elementary), whatever the reach and the number of passes.
  it('keeps an even picture as it is', () => {
    for (const radius of [1, 2, 4])
      for (const value of blur(
        planeOf(() => 70),
        radius,
        2,
      ).values)
        expect(value).toBeCloseTo(70, 3);
  });

  it('is the mean of the nearest within, and repeats the rim beyond it', () => {
    const once = blur(
      planeOf((x, y) => x * x + 10 * y),
      1,
      1,
    );
    // Row y: mean of 10 (y - 1), 10 y, 10 (y + 1); column x: mean of (x - 1)², x², (x + 1)² = x² + 2/3.
    expect(once.values[4 * width + 5]).toBeCloseTo(25 + 2 / 3 + 40, 3);
    // At the left rim 0, 0, 1; at the top 0, 0, 10.
    expect(once.values[0]).toBeCloseTo(1 / 3 + 10 / 3, 3);
  });
});
