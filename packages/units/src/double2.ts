/** Double-double arithmetic: two numbers whose unevaluated sum is the value, about 106 bits. Internal to this package. */

/** Value as an unevaluated sum `hi + lo`. */
export interface Double2 {
  readonly hi: number;
  readonly lo: number;
}

/** Error-free sum of two numbers (Knuth, The Art of Computer Programming 2, 4.2.2). */
export function twoSum(a: number, b: number): Double2 {
  const hi = a + b;
  const bb = hi - a;
  return { hi, lo: a - (hi - bb) + (b - bb) };
}

/** Splits a number into two halves of 26 bits (Dekker 1971, Numerische Mathematik 18:224-242). */
const SPLITTER = 134217729;

/** Error-free product of two numbers (Dekker 1971). Valid while nothing overflows, i.e. below about 1e299. */
function twoProduct(a: number, b: number): Double2 {
  const hi = a * b;
  const ca = SPLITTER * a;
  const ah = ca - (ca - a);
  const al = a - ah;
  const cb = SPLITTER * b;
  const bh = cb - (cb - b);
  const bl = b - bh;
  return { hi, lo: al * bl - (hi - ah * bh - al * bh - ah * bl) };
}

export function add(a: Double2, b: Double2): Double2 {
  const s = twoSum(a.hi, b.hi);
  return twoSum(s.hi, s.lo + a.lo + b.lo);
}

export function multiply(a: Double2, b: Double2): Double2 {
  const p = twoProduct(a.hi, b.hi);
  return twoSum(p.hi, p.lo + (a.hi * b.lo + a.lo * b.hi));
}

export function divide(a: Double2, b: Double2): Double2 {
  const q1 = a.hi / b.hi;
  const p = twoProduct(q1, b.hi);
  const rest = a.hi - p.hi - p.lo + a.lo - q1 * b.lo;
  return twoSum(q1, rest / b.hi);
}
