/**
 * Exponential functions from + − × ÷ √ alone, so that Node, browsers and workers agree to the last bit.
 *
 * The language leaves the last bit of `Math.pow`, `exp` and `log` to the engine; only the five operations above are
 * fixed by IEEE 754. Each function here works in double-double arithmetic (two numbers whose sum is the value; the
 * error-free sum is Knuth's, the error-free product Dekker's) and rounds once at the end: within 1 ulp (tested).
 */

import type { Double2 } from './double2';
import { add, divide, multiply, twoSum } from './double2';

const view = new DataView(new ArrayBuffer(8));

/** ln 2 to 106 bits: the sum of the two doubles is 0.693147180559945309417232121458176568… */
const LN2: Double2 = { hi: Math.LN2, lo: 2.3190468138462996e-17 };

/** Splits a positive finite number into m · 2^k with m in [√½, √2). */
function mantissaAndExponent(x: number): { m: number; k: number } {
  let scaled = x;
  let shift = 0;
  if (x < 2.2250738585072014e-308) {
    scaled = x * 18014398509481984; // 2^54 lifts a subnormal number
    shift = -54;
  }
  view.setFloat64(0, scaled);
  const high = view.getUint32(0);
  let k = ((high >>> 20) & 0x7ff) - 1023;
  view.setUint32(0, (high & 0x000fffff) | 0x3ff00000);
  let m = view.getFloat64(0);
  if (m >= Math.SQRT2) {
    m /= 2;
    k += 1;
  }
  return { m, k: k + shift };
}

/** 1/1, 1/3, 1/5 … 1/43 as double-doubles, made once. */
const ODD_RECIPROCALS: readonly Double2[] = Array.from({ length: 22 }, (_, i) =>
  divide({ hi: 1, lo: 0 }, { hi: 2 * i + 1, lo: 0 }),
);

/** ln x of a positive finite number, in double-double: 2·artanh((m−1)/(m+1)) + k·ln 2. */
function logDouble2(x: number): Double2 {
  const { m, k } = mantissaAndExponent(x);
  const s = divide(twoSum(m, -1), twoSum(m, 1));
  const s2 = multiply(s, s);
  // artanh s = s·(1 + s²/3 + s⁴/5 + …); |s| ≤ 0.1716, so terms past s⁴² fall below 2^-106.
  let sum = ODD_RECIPROCALS[21] as Double2;
  for (let n = 20; n >= 0; n -= 1) sum = add(multiply(sum, s2), ODD_RECIPROCALS[n] as Double2);
  const product = multiply(s, sum);
  const twice: Double2 = { hi: product.hi * 2, lo: product.lo * 2 };
  return add(multiply({ hi: k, lo: 0 }, LN2), twice);
}

/** 2^k as a product of in-range powers, for any k that can arise. */
function scaleByPowerOfTwo(value: number, k: number): number {
  let result = value;
  let rest = k;
  while (rest > 1000) {
    result *= 1.0715086071862673e301; // 2^1000
    rest -= 1000;
  }
  while (rest < -1000) {
    result *= 9.332636185032189e-302; // 2^-1000
    rest += 1000;
  }
  view.setUint32(0, (1023 + rest) << 20);
  view.setUint32(4, 0);
  return result * view.getFloat64(0);
}

/** 1/n! for n = 0 … 26 as double-doubles, made once. */
const INVERSE_FACTORIALS: readonly Double2[] = inverseFactorials();

function inverseFactorials(): Double2[] {
  const list: Double2[] = [{ hi: 1, lo: 0 }];
  for (let n = 1; n <= 26; n += 1) list.push(divide(list[n - 1] as Double2, { hi: n, lo: 0 }));
  return list;
}

/** e^z of a double-double. */
function expDouble2(z: Double2): number {
  if (z.hi > 710) return Number.POSITIVE_INFINITY;
  if (z.hi < -746) return 0;
  const k = Math.round(z.hi / LN2.hi);
  const r = add(z, multiply({ hi: -k, lo: 0 }, LN2));
  // Taylor series of e^r, |r| ≤ 0.347: the 27th term is below 2^-110. Terms r^n/n! with reciprocals made once.
  let sum = INVERSE_FACTORIALS[26] as Double2;
  for (let n = 25; n >= 0; n -= 1) sum = add(multiply(sum, r), INVERSE_FACTORIALS[n] as Double2);
  return scaleByPowerOfTwo(sum.hi + sum.lo, k);
}

/** Natural logarithm. `exactLog(10)` is 2.302585092994046. Zero gives −∞, a negative number NaN. */
export function exactLog(x: number): number {
  if (Number.isNaN(x) || x < 0) return Number.NaN;
  if (x === 0) return Number.NEGATIVE_INFINITY;
  if (x === Number.POSITIVE_INFINITY) return x;
  const log = logDouble2(x);
  return log.hi + log.lo;
}

/** Exponential function. `exactExp(1)` is 2.718281828459045. */
export function exactExp(x: number): number {
  if (Number.isNaN(x)) return Number.NaN;
  return expDouble2({ hi: x, lo: 0 });
}

/**
 * x to the power y for x ≥ 0, the only case that body-weight scaling needs. `exactPow(20, 0.294)` is 2.412673…
 * Zero to a positive power is 0, to a negative one ∞; a negative base gives NaN.
 */
export function exactPow(x: number, y: number): number {
  if (Number.isNaN(x) || Number.isNaN(y) || x < 0) return Number.NaN;
  if (y === 0 || x === 1) return 1;
  if (x === 0) return y > 0 ? 0 : Number.POSITIVE_INFINITY;
  if (x === Number.POSITIVE_INFINITY) return y > 0 ? x : 0;
  if (!Number.isFinite(y)) return x > 1 === y > 0 ? Number.POSITIVE_INFINITY : 0;
  const log = logDouble2(x);
  return expDouble2(multiply(log, { hi: y, lo: 0 }));
}

/** π/2 to 106 bits. */
const HALF_PI: Double2 = { hi: Math.PI / 2, lo: 6.123233995736766e-17 };

/** Sine (odd = true) or cosine of a reduced angle, |r| ≤ π/4, by its Taylor series with reciprocals made once. */
function circular(r: Double2, odd: boolean): number {
  const r2 = multiply(r, r);
  let sum: Double2 = { hi: 0, lo: 0 };
  for (let n = odd ? 25 : 26; n >= (odd ? 1 : 0); n -= 2) {
    const term = INVERSE_FACTORIALS[n] as Double2;
    const sign = Math.floor(n / 2) % 2 === 0 ? 1 : -1;
    sum = add(multiply(sum, r2), { hi: sign * term.hi, lo: sign * term.lo });
  }
  const result = odd ? multiply(sum, r) : sum;
  return result.hi + result.lo;
}

function sineShifted(x: number, quarter: number): number {
  // Angles here are tilts and phases; past a million turns the reduction would lose bits, and nobody asks.
  if (!Number.isFinite(x) || Math.abs(x) > 1e6) return Number.NaN;
  const k = Math.round(x / HALF_PI.hi);
  const r = add({ hi: x, lo: 0 }, multiply({ hi: -k, lo: 0 }, HALF_PI));
  const q = (((k + quarter) % 4) + 4) % 4;
  const value = circular(r, q % 2 === 0);
  return q >= 2 ? -value : value;
}

/** Sine of an angle in radians, |x| ≤ 10⁶. `exactSin(1)` is 0.8414709848078965. */
export function exactSin(x: number): number {
  return sineShifted(x, 0);
}

/** Cosine of an angle in radians, |x| ≤ 10⁶. `exactCos(1)` is 0.5403023058681398. */
export function exactCos(x: number): number {
  return sineShifted(x, 1);
}
