import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exactAcos, exactAsin, exactAtan, exactAtan2 } from './exact-arc';
import { exactCos, exactSin } from './exact-math';

const view = new DataView(new ArrayBuffer(8));

/** Distance of two doubles in units of the last place. */
function ulps(a: number, b: number): number {
  const order = (x: number): bigint => {
    view.setFloat64(0, x);
    const bits = view.getBigInt64(0);
    return bits < 0n ? -(bits & 0x7fffffffffffffffn) : bits;
  };
  const d = order(a) - order(b);
  return Number(d < 0n ? -d : d);
}

// Math.* is itself within about 1 ulp of the truth, so two correct results may differ by 1.
describe('arc functions against the language built-ins', () => {
  it('agree within 1 ulp', () => {
    const any = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    const unit = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(any, any, (y, x) => ulps(exactAtan2(y, x), Math.atan2(y, x)) <= 1),
      { numRuns: 4000 },
    );
    fc.assert(
      fc.property(any, (x) => ulps(exactAtan(x), Math.atan(x)) <= 1),
      { numRuns: 4000 },
    );
    fc.assert(
      fc.property(
        unit,
        (x) => ulps(exactAcos(x), Math.acos(x)) <= 1 && ulps(exactAsin(x), Math.asin(x)) <= 1,
      ),
      { numRuns: 4000 },
    );
  });

  it('agree at ordinary sizes of tilts and axis ratios', () => {
    for (let n = 0; n <= 1000; n += 1) {
      const q = n / 1000;
      expect(ulps(exactAcos(q), Math.acos(q))).toBeLessThanOrEqual(1);
      expect(ulps(exactAtan2(q, 1 - q), Math.atan2(q, 1 - q))).toBeLessThanOrEqual(1);
    }
  });

  it('handle zeros, infinities and what is not a number as the language does', () => {
    const odd = [0, -0, 1, -1, 5e-324, -5e-324, 1.7e308, -1.7e308, Infinity, -Infinity, Number.NaN];
    for (const y of odd)
      for (const x of odd) {
        const expected = Math.atan2(y, x);
        const got = exactAtan2(y, x);
        if (Number.isNaN(expected)) expect(got).toBeNaN();
        else if (expected === 0) expect(Object.is(got, expected)).toBe(true);
        else expect(ulps(got, expected), `${y} ${x}`).toBeLessThanOrEqual(1);
      }
    expect(exactAcos(1.0000000000000002)).toBeNaN();
    expect(exactAsin(-2)).toBeNaN();
    expect(exactAcos(-1)).toBe(Math.PI);
  });

  // Abramowitz & Stegun, Handbook of Mathematical Functions (1964), table 1.1: π/6, π/4, π/3.
  it('give the handbook constants', () => {
    expect(exactAsin(0.5)).toBe(Number('0.523598775598298873'));
    expect(exactAtan(1)).toBe(Number('0.785398163397448310'));
    expect(exactAcos(0.5)).toBe(Number('1.047197551196597746'));
  });

  it('turn sines and cosines back into their angle', () => {
    fc.assert(
      fc.property(fc.double({ min: -3.14, max: 3.14, noNaN: true }), (a) => {
        expect(exactAtan2(exactSin(a), exactCos(a))).toBeCloseTo(a, 14);
      }),
    );
  });
});
