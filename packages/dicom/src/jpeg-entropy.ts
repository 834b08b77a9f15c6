import type { HuffmanPair } from './jpeg-huffman';

/** Reads blocks of baseline entropy-coded data (ITU-T T.81 F.2.2): 64 quantised coefficients each, in zigzag order. */
export class BlockReader {
  private held = 0;
  private heldBits = 0;
  private readonly before = [0, 0, 0];
  private readonly coefficients = new Int16Array(64);
  /** Bytes that were not in the data. */
  invented = 0;

  constructor(
    private readonly bytes: Uint8Array,
    private at: number,
  ) {}

  private fill(): void {
    while (this.heldBits <= 16) {
      const found = this.bytes[this.at];
      let byte = 0;
      if (found === undefined || (found === 0xff && this.bytes[this.at + 1] !== 0)) this.invented += 1;
      else {
        byte = found;
        this.at += found === 0xff ? 2 : 1;
      }
      this.held = ((this.held << 8) | byte) & 0xffffff;
      this.heldBits += 8;
    }
  }

  private symbol(table: HuffmanPair): number {
    if (this.heldBits < 16) this.fill();
    const entry = table.decode[(this.held >>> (this.heldBits - 16)) & 0xffff] as number;
    if (entry === 0) return -1;
    this.heldBits -= entry >> 8;
    return entry & 255;
  }

  private value(bits: number): number {
    if (bits === 0) return 0;
    if (this.heldBits < bits) this.fill();
    this.heldBits -= bits;
    const raw = (this.held >>> this.heldBits) & ((1 << bits) - 1);
    return raw < 1 << (bits - 1) ? raw - (1 << bits) + 1 : raw;
  }

  /** The next block; the array is used again for the one after. null when damaged. */
  block(component: number, dc: HuffmanPair, ac: HuffmanPair): Int16Array | null {
    const out = this.coefficients.fill(0);
    const size = this.symbol(dc);
    if (size < 0 || size > 11) return null;
    const first = (this.before[component] ?? 0) + this.value(size);
    this.before[component] = first;
    out[0] = first;
    for (let place = 1; place < 64; place += 1) {
      const coded = this.symbol(ac);
      if (coded < 0) return null;
      const bits = coded & 15;
      if (bits === 0) {
        if (coded !== 0xf0) break;
        place += 15;
        continue;
      }
      place += coded >> 4;
      if (place > 63 || bits > 10) return null;
      out[place] = this.value(bits);
    }
    return out;
  }

  /** Passes a restart marker; false when there is none. */
  restart(): boolean {
    this.held = 0;
    this.heldBits = 0;
    this.before.fill(0);
    const marker = this.bytes[this.at + 1] ?? 0;
    if (this.bytes[this.at] !== 0xff || marker < 0xd0 || marker > 0xd7) return false;
    this.at += 2;
    return true;
  }
}

/** Writes blocks likewise (F.1.2). */
export class BlockWriter {
  private out = new Uint8Array(65_536);
  private length = 0;
  private held = 0;
  private heldBits = 0;
  private readonly before = [0, 0, 0];
  /** A value that baseline JPEG has no code for. */
  failed = false;

  private put(value: number, bits: number): void {
    let left = bits;
    while (left > 0) {
      const part = Math.min(left, 8);
      this.held = (this.held << part) | ((value >>> (left - part)) & ((1 << part) - 1));
      this.heldBits += part;
      left -= part;
      while (this.heldBits >= 8) {
        this.heldBits -= 8;
        this.byte((this.held >>> this.heldBits) & 255);
      }
      this.held &= (1 << this.heldBits) - 1;
    }
  }

  private byte(value: number): void {
    if (this.length + 2 > this.out.length) {
      const larger = new Uint8Array(2 * this.out.length);
      larger.set(this.out);
      this.out = larger;
    }
    this.out[this.length] = value;
    this.length += 1;
    if (value === 0xff) this.length += 1;
  }

  private symbol(table: HuffmanPair, value: number): void {
    const entry = table.encode[value] ?? 0;
    if (entry === 0) this.failed = true;
    else this.put(entry & 0xffff, entry >> 16);
  }

  private number(value: number, bits: number): void {
    this.put(value < 0 ? value + (1 << bits) - 1 : value, bits);
  }

  block(component: number, coefficients: Int16Array, dc: HuffmanPair, ac: HuffmanPair): void {
    this.first(component, coefficients[0] as number, dc);
    let zeros = 0;
    for (let place = 1; place < 64; place += 1) {
      const value = coefficients[place] as number;
      if (value === 0) {
        zeros += 1;
        continue;
      }
      for (; zeros > 15; zeros -= 16) this.symbol(ac, 0xf0);
      const bits = 32 - Math.clz32(value < 0 ? -value : value);
      this.symbol(ac, (zeros << 4) | bits);
      this.number(value, bits);
      zeros = 0;
    }
    if (zeros > 0) this.symbol(ac, 0);
  }

  /** A block of one level. */
  flat(component: number, level: number, dc: HuffmanPair, ac: HuffmanPair): void {
    this.first(component, level, dc);
    this.symbol(ac, 0);
  }

  private first(component: number, level: number, dc: HuffmanPair): void {
    const difference = level - (this.before[component] ?? 0);
    this.before[component] = level;
    const bits = difference === 0 ? 0 : 32 - Math.clz32(difference < 0 ? -difference : difference);
    this.symbol(dc, bits);
    if (bits > 0) this.number(difference, bits);
  }

  /** The data, the last byte filled up with ones (F.1.2.3). */
  finish(): Uint8Array {
    if (this.heldBits > 0) this.put((1 << (8 - this.heldBits)) - 1, 8 - this.heldBits);
    return this.out.slice(0, this.length);
  }
}
