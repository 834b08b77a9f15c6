import { describe, expect, it } from 'vitest';
import { exactAcos, exactAtan, exactAtan2 } from './exact-angle';

/** Difference in units of the last place of the expected value. */
function ulps(got: number, expected: number): number {
  const view = new DataView(new ArrayBuffer(8));
  view.setFloat64(0, Math.abs(expected));
  const exponent = Math.max(1, (view.getUint32(0) >>> 20) & 0x7ff) - 1023;
  return Math.abs(got - expected) / 2 ** (exponent - 52);
}

const tangents = Array.from({ length: 4001 }, (_, n) => (n - 2000) / 37).concat([1e-9, 1e9, 0.4375, 2.4375]);

describe('exact angles', () => {
  // Against the engine's own functions, themselves within 1 ulp of the value.
  it('agree with the engine within two units of the last place', () => {
    for (const x of tangents) {
      expect(ulps(exactAtan(x), Math.atan(x)), `atan ${x}`).toBeLessThanOrEqual(2);
      expect(ulps(exactAtan2(x, -0.7), Math.atan2(x, -0.7)), `atan2 ${x}`).toBeLessThanOrEqual(2);
      expect(ulps(exactAtan2(-1.3, x), Math.atan2(-1.3, x)), `atan2 of ${x}`).toBeLessThanOrEqual(2);
    }
    for (let n = -999; n <= 999; n += 1)
      expect(ulps(exactAcos(n / 1000), Math.acos(n / 1000)), `acos ${n / 1000}`).toBeLessThanOrEqual(3);
  });

  it('know the corners of the plane', () => {
    expect(exactAtan2(0, 1)).toBe(0);
    expect(exactAtan2(0, -1)).toBe(Math.PI);
    expect(exactAtan2(1, 0)).toBe(Math.PI / 2);
    expect(exactAtan2(-1, 0)).toBe(-Math.PI / 2);
    expect(exactAcos(1.0000001)).toBe(0);
    expect(exactAcos(-2)).toBe(Math.PI);
    expect(exactAtan2(Number.NaN, 1)).toBeNaN();
  });
});
