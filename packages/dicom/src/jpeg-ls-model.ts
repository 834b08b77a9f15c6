import type { LsBits } from './jpeg-ls-bits';
import type { ScanShape } from './jpeg-ls-scan';

/** A line of samples with one more at either end. */
export type LsLine = Uint8Array | Uint16Array;

/** Bits that hold `count` different values. */
function bitsFor(count: number): number {
  let bits = 0;
  while (2 ** bits < count) bits += 1;
  return bits;
}

/** The contexts and prediction of T.87 annex A: state that every sample of a scan changes. */
export class LsModel {
  private readonly a = new Int32Array(367);
  private readonly b = new Int32Array(367);
  private readonly c = new Int32Array(367);
  private readonly n = new Int32Array(367);
  private readonly negative = new Int32Array(2);
  private readonly maxValue: number;
  private readonly near: number;
  private readonly reset: number;
  private readonly stepSize: number;
  private readonly range: number;
  private readonly rangeBits: number;
  private readonly limit: number;
  /** Quantised gradient by gradient + maxValue. */
  private readonly quantised: Int8Array;

  constructor(
    shape: ScanShape,
    private readonly bits: LsBits,
  ) {
    const { maxValue, near, reset } = shape;
    this.maxValue = maxValue;
    this.near = near;
    this.reset = reset;
    this.stepSize = 2 * near + 1;
    this.range = Math.floor((maxValue + 2 * near) / this.stepSize) + 1;
    this.rangeBits = bitsFor(this.range);
    const bitsPerSample = Math.max(2, bitsFor(maxValue + 1));
    this.limit = 2 * (bitsPerSample + Math.max(8, bitsPerSample));
    this.a.fill(Math.max(2, (this.range + 32) >> 6));
    this.n.fill(1);
    const [t1, t2, t3] = shape.thresholds;
    this.quantised = Int8Array.from({ length: 2 * maxValue + 1 }, (_, place) => {
      const size = Math.abs(place - maxValue);
      const level = size <= near ? 0 : size < t1 ? 1 : size < t2 ? 2 : size < t3 ? 3 : 4;
      return place < maxValue ? -level : level;
    });
  }

  /**
   * Samples of the regular mode from `x` on, up to where a run begins or the line ends; gives that place. As `regular`,
   * with everything at hand: most of the time of a lossless picture is spent here.
   */
  regularWhile(before: LsLine, line: LsLine, from: number, widthPx: number): number {
    const { a: sizes, b: biases, c: shifts, n: counts, quantised: q, bits } = this;
    const { near, maxValue, stepSize, range, reset } = this;
    const most = this.limit - this.rangeBits - 1;
    const whole = range * stepSize;
    let { held, heldBits } = bits;
    let x = from;
    let left = line[x - 1] as number;
    let corner = before[x - 1] as number;
    let above = before[x] as number;
    for (; x <= widthPx; x += 1) {
      const ahead = before[x + 1] as number;
      const signed =
        81 * (q[ahead - above + maxValue] as number) +
        9 * (q[above - corner + maxValue] as number) +
        (q[corner - left + maxValue] as number);
      if (signed === 0) break;
      const sign = signed >> 31;
      const context = (signed ^ sign) - sign;
      const shift = shifts[context] as number;
      // The median of left, above and their sum less the corner, by sign bits: a wrong guess of a branch costs more.
      const apart = left - above;
      const least = above + (apart & (apart >> 31));
      const greatest = left - (apart & (apart >> 31));
      let predicted = left + above - corner;
      let over = predicted - least;
      predicted = least + (over & ~(over >> 31));
      over = predicted - greatest;
      predicted = greatest + (over & (over >> 31));
      predicted += (shift ^ sign) - sign;
      predicted &= ~(predicted >> 31);
      over = predicted - maxValue;
      predicted = maxValue + (over & (over >> 31));
      let n = counts[context] as number;
      let size = sizes[context] as number;
      // The smallest k with n * 2^k at least the size (A.5.1).
      let k = Math.clz32(n) - Math.clz32(size);
      k &= ~(k >> 31);
      k += ((n << k) - size) >>> 31;
      if (heldBits < 16) {
        bits.held = held;
        bits.heldBits = heldBits;
        bits.fill();
        held = bits.held;
        heldBits = bits.heldBits;
      }
      const zeros = Math.clz32(held);
      let mapped: number;
      if (zeros + 1 + k <= heldBits && zeros < most) {
        mapped = (zeros << k) | (((held << zeros) & 0x7fffffff) >>> (31 - k));
        held = (held << zeros) << (k + 1);
        heldBits -= zeros + 1 + k;
      } else {
        bits.held = held;
        bits.heldBits = heldBits;
        mapped = this.golomb(k, this.limit);
        held = bits.held;
        heldBits = bits.heldBits;
      }
      let error = (mapped >> 1) ^ -(mapped & 1);
      let bias = biases[context] as number;
      if (k === 0 && near === 0 && 2 * bias <= -n) error = -error - 1;
      size += (error ^ (error >> 31)) - (error >> 31);
      bias += error * stepSize;
      if (n === reset) {
        size >>= 1;
        bias >>= 1;
        n >>= 1;
      }
      n += 1;
      if (bias <= -n) {
        bias += n;
        if (shift > -128) shifts[context] = shift - 1;
        if (bias <= -n) bias = -n + 1;
      } else if (bias > 0) {
        bias -= n;
        if (shift < 127) shifts[context] = shift + 1;
        if (bias > 0) bias = 0;
      }
      sizes[context] = size;
      biases[context] = bias;
      counts[context] = n;
      let value = predicted + ((error ^ sign) - sign) * stepSize;
      if (value < -near) value += whole;
      else if (value > maxValue + near) value -= whole;
      left = value < 0 ? 0 : value > maxValue ? maxValue : value;
      line[x] = left;
      corner = above;
      above = ahead;
    }
    bits.held = held;
    bits.heldBits = heldBits;
    return x;
  }

  /** A sample of the regular mode (A.4 to A.6). */
  regular(before: LsLine, line: LsLine, x: number): number {
    const left = line[x - 1] as number;
    const above = before[x] as number;
    const corner = before[x - 1] as number;
    const shift = this.maxValue;
    const q = this.quantised;
    const signed =
      81 * (q[(before[x + 1] as number) - above + shift] as number) +
      9 * (q[above - corner + shift] as number) +
      (q[corner - left + shift] as number);
    const sign = signed < 0 ? -1 : 1;
    const context = signed < 0 ? -signed : signed;
    const most = left > above ? left : above;
    const least = left > above ? above : left;
    let predicted = corner >= most ? least : corner <= least ? most : left + above - corner;
    predicted += sign * (this.c[context] as number);
    if (predicted < 0) predicted = 0;
    else if (predicted > this.maxValue) predicted = this.maxValue;
    const n = this.n[context] as number;
    const a = this.a[context] as number;
    let k = 0;
    while (k < 16 && n << k < a) k += 1;
    const mapped = this.golomb(k, this.limit);
    let error = mapped & 1 ? -((mapped + 1) >> 1) : mapped >> 1;
    if (this.near === 0 && k === 0 && 2 * (this.b[context] as number) <= -n) error = -error - 1;
    this.learn(context, error);
    return this.restored(predicted, sign * error * this.stepSize);
  }

  /** The sample that ends a run (A.7.2). `several`: interleaved by pixel, where the first kind of context serves alone. */
  interruption(before: LsLine, line: LsLine, x: number, runBits: number, several: boolean): number {
    const left = line[x - 1] as number;
    const above = before[x] as number;
    const kind = !several && Math.abs(left - above) <= this.near ? 1 : 0;
    const context = 365 + kind;
    const n = this.n[context] as number;
    const size = (this.a[context] as number) + (kind === 1 ? n >> 1 : 0);
    let k = 0;
    while (k < 16 && n << k < size) k += 1;
    const mapped = this.golomb(k, this.limit - runBits - 1);
    const sum = mapped + kind;
    const odd = (sum & 1) === 1;
    const magnitude = (sum + (odd ? 1 : 0)) >> 1;
    const mostlyNegative = k !== 0 || 2 * (this.negative[kind] as number) >= n;
    const error = mostlyNegative === odd ? -magnitude : magnitude;
    if (error < 0) this.negative[kind] = (this.negative[kind] as number) + 1;
    this.a[context] = (this.a[context] as number) + ((mapped + 1 - kind) >> 1);
    if (n === this.reset) {
      this.a[context] = (this.a[context] as number) >> 1;
      this.n[context] = n >> 1;
      this.negative[kind] = (this.negative[kind] as number) >> 1;
    }
    this.n[context] = (this.n[context] as number) + 1;
    const sign = kind === 0 && left > above ? -1 : 1;
    return this.restored(kind === 1 ? left : above, sign * error * this.stepSize);
  }

  /** Limited-length Golomb code (A.5.3). */
  private golomb(k: number, limit: number): number {
    const most = limit - this.rangeBits - 1;
    const coded = this.bits.golomb(k, most);
    if (coded >= 0) return coded;
    // The code's own end bit follows the longest row of zeros.
    this.bits.bit();
    return this.bits.take(this.rangeBits) + 1;
  }

  private restored(predicted: number, error: number): number {
    const whole = this.range * this.stepSize;
    let value = predicted + error;
    if (value < -this.near) value += whole;
    else if (value > this.maxValue + this.near) value -= whole;
    return value < 0 ? 0 : value > this.maxValue ? this.maxValue : value;
  }

  /** Update of counts and bias (A.6). */
  private learn(context: number, error: number): void {
    let a = (this.a[context] as number) + (error < 0 ? -error : error);
    let b = (this.b[context] as number) + error * this.stepSize;
    let n = this.n[context] as number;
    if (n === this.reset) {
      a >>= 1;
      b >>= 1;
      n >>= 1;
    }
    n += 1;
    const c = this.c[context] as number;
    if (b <= -n) {
      b += n;
      if (c > -128) this.c[context] = c - 1;
      if (b <= -n) b = -n + 1;
    } else if (b > 0) {
      b -= n;
      if (c < 127) this.c[context] = c + 1;
      if (b > 0) b = 0;
    }
    this.a[context] = a;
    this.b[context] = b;
    this.n[context] = n;
  }
}
