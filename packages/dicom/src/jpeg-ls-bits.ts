/** Bits of a JPEG-LS scan: after a byte FF the next holds seven (T.87 9.1). After a marker or the end come zeros, counted. */
export class LsBits {
  private held = 0;
  private heldBits = 0;
  private afterFf = false;
  invented = 0;

  constructor(
    private readonly bytes: Uint8Array,
    private at: number,
  ) {}

  private fill(): void {
    const { bytes } = this;
    let { held, heldBits, at, afterFf } = this;
    while (heldBits <= 16) {
      const byte = bytes[at];
      if (byte === undefined || (byte === 0xff && (bytes[at + 1] ?? 0xff) >= 0x80)) {
        this.invented += 1;
        held = (held << 8) & 0xffffff;
        heldBits += 8;
        continue;
      }
      const width = afterFf ? 7 : 8;
      held = ((held << width) | byte) & 0xffffff;
      heldBits += width;
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
    this.heldBits -= 1;
    return (this.held >>> this.heldBits) & 1;
  }

  /** Up to 16 bits. */
  take(count: number): number {
    if (count === 0) return 0;
    if (this.heldBits < count) this.fill();
    this.heldBits -= count;
    return (this.held >>> this.heldBits) & ((1 << count) - 1);
  }

  /** Zeros before the next one, which is taken too; at most `most`. */
  zeros(most: number): number {
    let count = 0;
    for (;;) {
      if (this.heldBits === 0) this.fill();
      const ahead = this.held & ((1 << this.heldBits) - 1);
      const zeros = this.heldBits - (32 - Math.clz32(ahead));
      if (count + zeros >= most) {
        this.heldBits -= most - count;
        return most;
      }
      count += zeros;
      if (ahead !== 0) {
        this.heldBits -= zeros + 1;
        return count;
      }
      this.heldBits = 0;
    }
  }

  /** Zeros before a one, then `k` bits, as one number (T.87 A.5.3); -1 when `most` zeros are there, which are taken. */
  golomb(k: number, most: number): number {
    if (this.heldBits <= 16) this.fill();
    const ahead = this.held & ((1 << this.heldBits) - 1);
    // Bits of what is ahead from the first one on.
    const left = 32 - Math.clz32(ahead);
    const zeros = this.heldBits - left;
    if (left > k && zeros < most) {
      this.heldBits = left - 1 - k;
      return (zeros << k) | ((ahead >>> this.heldBits) & ((1 << k) - 1));
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
