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
    while (this.heldBits <= 16) {
      const byte = this.bytes[this.at];
      if (byte === undefined || (byte === 0xff && (this.bytes[this.at + 1] ?? 0xff) >= 0x80)) {
        this.invented += 1;
        this.held = (this.held << 8) & 0xffffff;
        this.heldBits += 8;
        continue;
      }
      const width = this.afterFf ? 7 : 8;
      this.held = ((this.held << width) | byte) & 0xffffff;
      this.heldBits += width;
      this.afterFf = byte === 0xff;
      this.at += 1;
    }
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

  /** Where the next marker stands. */
  end(): number {
    let at = this.at;
    while (at + 1 < this.bytes.length && !(this.bytes[at] === 0xff && (this.bytes[at + 1] ?? 0) >= 0x80))
      at += 1;
    return at;
  }
}
