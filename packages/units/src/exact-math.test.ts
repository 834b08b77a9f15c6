import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exactCos, exactExp, exactLog, exactPow, exactSin } from './exact-math';

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
describe('exact-math against the language built-ins', () => {
  it('agrees on logarithms within 1 ulp', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-300, max: 1e300, noNaN: true }),
        (x) => ulps(exactLog(x), Math.log(x)) <= 1,
      ),
      { numRuns: 4000 },
    );
  });

  it('agrees on exponentials within 1 ulp', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -700, max: 700, noNaN: true }),
        (x) => ulps(exactExp(x), Math.exp(x)) <= 1,
      ),
      { numRuns: 4000 },
    );
  });

  it('agrees on powers of body weights within 1 ulp', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.05, max: 1500, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        (x, y) => ulps(exactPow(x, y), x ** y) <= 1,
      ),
      { numRuns: 4000 },
    );
  });

  it('agrees on sines and cosines within 1 ulp', () => {
    fc.assert(
      fc.property(fc.double({ min: -1000, max: 1000, noNaN: true }), (x) => {
        return ulps(exactSin(x), Math.sin(x)) <= 1 && ulps(exactCos(x), Math.cos(x)) <= 1;
      }),
      { numRuns: 4000 },
    );
    expect(exactSin(2e6)).toBeNaN();
  });

  it('handles the edges of the domain', () => {
    expect(exactPow(0, 0.294)).toBe(0);
    expect(exactPow(0, -1)).toBe(Number.POSITIVE_INFINITY);
    expect(exactPow(-1, 0.5)).toBeNaN();
    expect(exactPow(5, 0)).toBe(1);
    expect(exactLog(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(exactLog(-1)).toBeNaN();
    expect(exactExp(1000)).toBe(Number.POSITIVE_INFINITY);
    expect(exactExp(-1000)).toBe(0);
    expect(ulps(exactLog(5e-324), Math.log(5e-324))).toBeLessThanOrEqual(1);
  });

  // Digits of e, ln 10 and 2^(1/3): Abramowitz & Stegun, Handbook of Mathematical Functions (1964), table 1.1.
  it('gives the handbook constants', () => {
    expect(exactExp(1)).toBe(Number('2.718281828459045'));
    expect(exactLog(10)).toBe(Number('2.302585092994046'));
    expect(ulps(exactPow(2, 1 / 3), 1.2599210498948732)).toBeLessThanOrEqual(1);
  });
});
