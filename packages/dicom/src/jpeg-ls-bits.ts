/**
 * Bits of a JPEG-LS scan: after a byte FF the next holds seven (T.87 9.1). After a marker or the end come zeros, counted.
 * The fields are open to the model's inner loop, which works on copies of them.
 */
export class LsBits {
  /** Bits ahead, the next one highest; below `heldBits` of them all are 0. */
  held = 0;
  heldBits = 0;
  at: number;
  private afterFf = false;
  invented = 0;

  constructor(
    readonly bytes: Uint8Array,
    start: number,
  ) {
    this.at = start;
  }

  /** Until at least 16 bits are held. */
  fill(): void {
    const { bytes } = this;
    let { held, heldBits, at, afterFf } = this;
    const first = at < bytes.length ? (bytes[at] as number) : 0xff;
    const second = at + 1 < bytes.length ? (bytes[at + 1] as number) : 0xff;
    if (heldBits <= 16 && !afterFf && first !== 0xff && second !== 0xff) {
      // The usual case, in one step.
      this.held = held | (((first << 8) | second) << (16 - heldBits));
      this.heldBits = heldBits + 16;
      this.at = at + 2;
      return;
    }
    while (heldBits <= 24) {
      const byte = bytes[at];
      if (byte === undefined || (byte === 0xff && (bytes[at + 1] ?? 0xff) >= 0x80)) {
        this.invented += 1;
        heldBits += 8;
        continue;
      }
      if (afterFf) {
        held |= byte << (25 - heldBits);
        heldBits += 7;
      } else {
        held |= byte << (24 - heldBits);
        heldBits += 8;
      }
      afterFf = byte === 0xff;
      at += 1;
    }
    this.held = held;
    this.heldBits = heldBits;
    this.at = at;
    this.afterFf = afterFf;
  }

  bit(): number {
    if (this.heldBits === 0) this.fill();
    const bit = this.held >>> 31;
    this.held <<= 1;
    this.heldBits -= 1;
    return bit;
  }

  /** Up to 16 bits. */
  take(count: number): number {
    if (count === 0) return 0;
    if (this.heldBits < count) this.fill();
    const value = this.held >>> (32 - count);
    this.held <<= count;
    this.heldBits -= count;
    return value;
  }

  /** Zeros before the next one, which is taken too; at most `most`. */
  zeros(most: number): number {
    let count = 0;
    for (;;) {
      if (this.heldBits === 0) this.fill();
      const zeros = Math.min(this.heldBits, Math.clz32(this.held));
      if (count + zeros >= most) {
        this.skip(most - count);
        return most;
      }
      count += zeros;
      if (zeros < this.heldBits) {
        this.skip(zeros + 1);
        return count;
      }
      this.held = 0;
      this.heldBits = 0;
    }
  }

  private skip(count: number): void {
    this.held = count > 31 ? 0 : this.held << count;
    this.heldBits -= count;
  }

  /** Zeros before a one, then `k` bits, as one number (T.87 A.5.3); -1 when `most` zeros are there, which are taken. */
  golomb(k: number, most: number): number {
    if (this.heldBits < 16) this.fill();
    const zeros = Math.clz32(this.held);
    const length = zeros + 1 + k;
    if (length <= this.heldBits && zeros < most) {
      const value = (zeros << k) | (((this.held << zeros) & 0x7fffffff) >>> (31 - k));
      this.skip(length);
      return value;
    }
    const counted = this.zeros(most);
    return counted < most ? (counted << k) + this.take(k) : -1;
  }

  /** Where the next marker stands. */
  end(): number {
    let at = this.at;
    while (at + 1 < this.bytes.length && !(this.bytes[at] === 0xff && (this.bytes[at + 1] ?? 0) >= 0x80))
      at += 1;
    return at;
  }
}
