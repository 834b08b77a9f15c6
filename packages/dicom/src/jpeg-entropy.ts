import type { HuffmanPair } from './jpeg-huffman';

/** Reads blocks of baseline entropy-coded data (ITU-T T.81 F.2.2) without making coefficients of them: AC codes are handed on. */
export class BlockReader {
  private held = 0;
  private heldBits = 0;
  /** The last DC level of each component. */
  readonly level = new Int32Array(3);
  /** AC codes of the last block: run and size in the high half, the bits that follow in the low one. */
  readonly codes = new Int32Array(64);
  /** How many of them there are. */
  count = 0;
  /** Whether the last of them stands at the last place, so that no end of block follows. */
  full = false;
  /** Bytes that were not in the data. */
  invented = 0;
  private readonly mostLevelBits: number;
  private readonly mostCodeBits: number;

  constructor(
    private readonly bytes: Uint8Array,
    private at: number,
    /** Bits a sample: deeper ones have larger codes (T.81 F.1.2.1.2, F.1.2.2.1). */
    precision: 8 | 12 = 8,
  ) {
    this.mostLevelBits = precision + 3;
    this.mostCodeBits = precision + 2;
  }

  private fill(): void {
    const { bytes } = this;
    let { held, heldBits, at } = this;
    while (heldBits <= 16) {
      const found = bytes[at];
      let byte = 0;
      if (found === undefined || (found === 0xff && bytes[at + 1] !== 0)) this.invented += 1;
      else {
        byte = found;
        at += found === 0xff ? 2 : 1;
      }
      held = ((held << 8) | byte) & 0xffffff;
      heldBits += 8;
    }
    this.held = held;
    this.heldBits = heldBits;
    this.at = at;
  }

  private symbol(table: Uint16Array): number {
    if (this.heldBits < 16) this.fill();
    const entry = table[(this.held >>> (this.heldBits - 16)) & 0xffff] as number;
    this.heldBits -= entry >> 8;
    return entry === 0 ? -1 : entry & 255;
  }

  private bits(count: number): number {
    if (this.heldBits < count) this.fill();
    this.heldBits -= count;
    return (this.held >>> this.heldBits) & ((1 << count) - 1);
  }

  /** Reads the next block into `level`, `codes`, `count` and `full`; false when damaged. */
  block(component: number, dc: HuffmanPair, ac: HuffmanPair): boolean {
    const size = this.symbol(dc.decode);
    if (size < 0 || size > this.mostLevelBits) return false;
    if (size > 0) {
      const raw = this.bits(size);
      const difference = raw < 1 << (size - 1) ? raw - (1 << size) + 1 : raw;
      this.level[component] = (this.level[component] as number) + difference;
    }
    const { codes } = this;
    const table = ac.decode;
    let place = 1;
    let zeros = 0;
    let count = 0;
    while (place < 64) {
      const coded = this.symbol(table);
      if (coded < 0) return false;
      const size16 = coded & 15;
      if (size16 === 0) {
        if (coded !== 0xf0) break;
        // Sixteen zeros count only when something follows them in the block.
        place += 16;
        zeros += 1;
        continue;
      }
      place += coded >> 4;
      if (place > 63 || size16 > this.mostCodeBits) return false;
      for (; zeros > 0; zeros -= 1) codes[count++] = 0xf00000;
      codes[count++] = (coded << 16) | this.bits(size16);
      place += 1;
    }
    this.count = count;
    this.full = place === 64 && zeros === 0;
    return true;
  }

  /** Passes a restart marker; false when there is none. */
  restart(): boolean {
    this.held = 0;
    this.heldBits = 0;
    this.level.fill(0);
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
  private readonly before = new Int32Array(3);
  /** A value that baseline JPEG has no code for. */
  failed = false;

  /** Room for as many bytes as one block can come to: 64 codes of at most 27 bits, each byte perhaps doubled. */
  private room(): void {
    if (this.length + 512 <= this.out.length) return;
    const larger = new Uint8Array(2 * this.out.length);
    larger.set(this.out);
    this.out = larger;
  }

  private put(value: number, bits: number): void {
    // At most seven bits wait and sixteen come: they fit into one number.
    let heldBits = this.heldBits + bits;
    const held = (this.held << bits) | value;
    const { out } = this;
    while (heldBits >= 8) {
      heldBits -= 8;
      const byte = (held >>> heldBits) & 255;
      out[this.length++] = byte;
      if (byte === 0xff) out[this.length++] = 0;
    }
    this.heldBits = heldBits;
    this.held = held & ((1 << heldBits) - 1);
  }

  private symbol(table: Int32Array, value: number): void {
    const entry = table[value] ?? 0;
    if (entry === 0) this.failed = true;
    else this.put(entry & 0xffff, entry >> 16);
  }

  /** The block that was just read, as it is. */
  block(component: number, read: BlockReader, dc: HuffmanPair, ac: HuffmanPair): void {
    this.first(component, read.level[component] as number, dc);
    const { codes, count } = read;
    const table = ac.encode;
    for (let n = 0; n < count; n += 1) {
      const code = codes[n] as number;
      const size = (code >> 16) & 15;
      this.symbol(table, code >> 16);
      if (size > 0) this.put(code & 0xffff, size);
    }
    if (!read.full) this.symbol(table, 0);
  }

  /** A block by its quantised coefficients, in the order of the zigzag. */
  coefficients(component: number, values: Int32Array, dc: HuffmanPair, ac: HuffmanPair): void {
    this.first(component, values[0] as number, dc);
    let zeros = 0;
    for (let place = 1; place < 64; place += 1) {
      const value = values[place] as number;
      if (value === 0) {
        zeros += 1;
        continue;
      }
      for (; zeros > 15; zeros -= 16) this.symbol(ac.encode, 0xf0);
      const size = 32 - Math.clz32(value < 0 ? -value : value);
      this.symbol(ac.encode, (zeros << 4) | size);
      this.put(value < 0 ? value + (1 << size) - 1 : value, size);
      zeros = 0;
    }
    if (zeros > 0) this.symbol(ac.encode, 0);
  }

  /** A block of one level. */
  flat(component: number, level: number, dc: HuffmanPair, ac: HuffmanPair): void {
    this.first(component, level, dc);
    this.symbol(ac.encode, 0);
  }

  private first(component: number, level: number, dc: HuffmanPair): void {
    this.room();
    const difference = level - (this.before[component] as number);
    this.before[component] = level;
    const bits = difference === 0 ? 0 : 32 - Math.clz32(difference < 0 ? -difference : difference);
    this.symbol(dc.encode, bits);
    // Without a code there is no room for its bits either.
    if (bits > 0 && bits <= 16) this.put(difference < 0 ? difference + (1 << bits) - 1 : difference, bits);
  }

  /** The data, the last byte filled up with ones (F.1.2.3). */
  finish(): Uint8Array {
    this.room();
    if (this.heldBits > 0) this.put((1 << (8 - this.heldBits)) - 1, 8 - this.heldBits);
    return this.out.slice(0, this.length);
  }
}
