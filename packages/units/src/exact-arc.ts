import type { Double2 } from './double2';
import { add, divide, multiply, twoSum } from './double2';

/**
 * Arc functions from + − × ÷ √ alone, for the same reason and in the same way as exact-math: the last bit is the same
 * everywhere. Within 1 ulp (tested).
 */

/** π to 106 bits: the sum of the two doubles. */
const PI2: Double2 = { hi: Math.PI, lo: 1.2246467991473532e-16 };
const HALF_PI2: Double2 = { hi: Math.PI / 2, lo: 6.123233995736766e-17 };

function negated(a: Double2): Double2 {
  return { hi: -a.hi, lo: -a.lo };
}

/** Alternating odd reciprocals 1, −1/3, 1/5 … as double-doubles, made once. */
const ODD: readonly Double2[] = Array.from({ length: 16 }, (_, n) =>
  divide({ hi: n % 2 === 0 ? 1 : -1, lo: 0 }, { hi: 2 * n + 1, lo: 0 }),
);

/** atan of a number of at most 1/16 by its series: terms past x³¹ fall below 2^-120. */
function smallAtan(x: Double2): Double2 {
  const x2 = multiply(x, x);
  let sum = ODD[15] as Double2;
  for (let n = 14; n >= 0; n -= 1) sum = add(multiply(sum, x2), ODD[n] as Double2);
  return multiply(x, sum);
}

/** atan(k/16) for k = 0 … 16, each from the one before by the rule for the difference of two arcs. */
const SIXTEENTHS: readonly Double2[] = sixteenths();

function sixteenths(): Double2[] {
  const list: Double2[] = [{ hi: 0, lo: 0 }];
  for (let k = 1; k <= 16; k += 1) {
    const step = divide({ hi: 1 / 16, lo: 0 }, { hi: 1 + (k * (k - 1)) / 256, lo: 0 });
    list.push(add(list[k - 1] as Double2, smallAtan(step)));
  }
  return list;
}

/** atan of t in 0 … 1: atan t = atan(k/16) + atan((t − k/16)/(1 + t·k/16)). */
function unitAtan(t: Double2): Double2 {
  const k = Math.round(16 * t.hi);
  if (k === 0) return smallAtan(t);
  const c: Double2 = { hi: k / 16, lo: 0 };
  const below = add({ hi: 1, lo: 0 }, multiply(t, c));
  return add(SIXTEENTHS[k] as Double2, smallAtan(divide(add(t, negated(c)), below)));
}

/** Angle of (x, y) with |x|, |y| finite and not both 0, as a double-double. */
function arc(y: Double2, x: Double2): number {
  const ay = y.hi < 0 ? negated(y) : y;
  const ax = x.hi < 0 ? negated(x) : x;
  const steep = ay.hi > ax.hi;
  const t = steep ? divide(ax, ay) : divide(ay, ax);
  let angle = unitAtan(t);
  if (steep) angle = add(HALF_PI2, negated(angle));
  if (x.hi < 0) angle = add(PI2, negated(angle));
  const value = angle.hi + angle.lo;
  return y.hi < 0 ? -value : value;
}

/** Brings a pair into a range in which products neither overflow nor vanish; the ratio stays. */
function scaleOf(x: number, y: number): number {
  const most = Math.max(Math.abs(x), Math.abs(y));
  if (most > 1e150) return 1e-150;
  return most < 1e-150 ? 1e150 : 1;
}

/**
 * Angle in radians of the point (x, y), −π to π, as `Math.atan2(y, x)`. `exactAtan2(1, 1)` is 0.7853981633974483.
 * Zeros and infinities as the language has them; NaN gives NaN.
 */
export function exactAtan2(y: number, x: number): number {
  if (Number.isNaN(x) || Number.isNaN(y)) return Number.NaN;
  if (y === 0) return x > 0 || Object.is(x, 0) ? y : Object.is(y, -0) ? -Math.PI : Math.PI;
  const sign = y < 0 ? -1 : 1;
  if (x === 0) return (sign * Math.PI) / 2;
  if (!Number.isFinite(y)) {
    if (!Number.isFinite(x)) return sign * (x > 0 ? Math.PI / 4 : (3 * Math.PI) / 4);
    return (sign * Math.PI) / 2;
  }
  if (!Number.isFinite(x)) return x > 0 ? (y < 0 ? -0 : 0) : sign * Math.PI;
  // A very small angle is its own tangent: the next term is below a thousandth of the last place.
  if (x > 0 && Math.abs(y / x) < 1e-9) return y / x;
  const scale = scaleOf(x, y);
  return sign * arc({ hi: Math.abs(y) * scale, lo: 0 }, { hi: x * scale, lo: 0 });
}

/** Arc tangent in radians. `exactAtan(1)` is 0.7853981633974483. */
export function exactAtan(x: number): number {
  return exactAtan2(x, 1);
}

/** √(1 − x²) = √((1 − x)(1 + x)) as a double-double: one Newton step on the rounded root. */
function otherSide(x: number): Double2 {
  const square = multiply(twoSum(1, -x), twoSum(1, x));
  const root = Math.sqrt(square.hi);
  if (root === 0) return { hi: 0, lo: 0 };
  const rest = add(square, negated(multiply({ hi: root, lo: 0 }, { hi: root, lo: 0 })));
  return twoSum(root, (rest.hi + rest.lo) / (2 * root));
}

/** Arc cosine in radians, for −1 to 1; NaN beyond. `exactAcos(0.5)` is 1.0471975511965979. */
export function exactAcos(x: number): number {
  if (!(x >= -1 && x <= 1)) return Number.NaN;
  if (x === 1) return 0;
  if (x === -1) return Math.PI;
  return arc(otherSide(x), { hi: x, lo: 0 });
}

/** Arc sine in radians, for −1 to 1; NaN beyond. `exactAsin(0.5)` is 0.5235987755982989. */
export function exactAsin(x: number): number {
  if (!(x >= -1 && x <= 1)) return Number.NaN;
  if (x === 0) return x;
  if (Math.abs(x) === 1) return (x * Math.PI) / 2;
  return arc({ hi: x, lo: 0 }, otherSide(x));
}
