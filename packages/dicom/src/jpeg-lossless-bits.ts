/** A table of differences (T.81 H.1.2.2). */
export interface HuffmanTable {
  /** For each 16 bits that may lie ahead: length of the code in the high byte, value in the low; 0 where there is none. */
  readonly codes: Uint16Array;
  /** For each 12 bits, once met: the whole difference times 32 plus the bits of code and difference; 0 when they are more. */
  readonly whole: Int32Array;
}

/** So many that the table stays near the processor, and most differences fit. */
const wholeBits = 12;

/** No difference has this size. */
export const damaged = 0x7fffffff;

/** Tables of T.81 B.2.4.2 by destination; false when damaged. */
export function readTables(body: Uint8Array, tables: Map<number, HuffmanTable>): boolean {
  let at = 0;
  while (at + 17 <= body.length) {
    const destination = (body[at] ?? 0) & 15;
    const codes = new Uint16Array(65536);
    let next = at + 17;
    let code = 0;
    for (let length = 1; length <= 16; length += 1) {
      const count = body[at + length] ?? 0;
      for (let n = 0; n < count; n += 1) {
        if (next >= body.length) return false;
        const from = code << (16 - length);
        const to = (code + 1) << (16 - length);
        if (to > 65536) return false;
        codes.fill((length << 8) | (body[next] ?? 0), from, to);
        next += 1;
        code += 1;
      }
      code <<= 1;
    }
    tables.set(destination, { codes, whole: new Int32Array(1 << wholeBits) });
    at = next;
  }
  return at === body.length;
}

/** Bits of entropy-coded data: stuffed zeros left out, stops at a marker and then gives zeros. */
export class LosslessBits {
  private held = 0;
  private heldBits = 0;
  /** Zero bytes given because the data had ended. */
  invented = 0;

  constructor(
    private readonly bytes: Uint8Array,
    public at: number,
  ) {}

  private fill(): void {
    const { bytes } = this;
    let { held, heldBits, at } = this;
    const first = at < bytes.length ? (bytes[at] as number) : 0xff;
    const second = at + 1 < bytes.length ? (bytes[at + 1] as number) : 0xff;
    if (first !== 0xff && second !== 0xff) {
      // The usual case, in one step; fewer than 16 bits were held.
      this.held = ((held & 0xffff) << 16) | (first << 8) | second;
      this.heldBits = heldBits + 16;
      this.at = at + 2;
      return;
    }
    while (heldBits <= 16) {
      let byte = 0;
      const found = bytes[at];
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

  /** The difference coded next by `table` (T.81 H.1.2.2), or `damaged`. */
  difference(table: HuffmanTable): number {
    if (this.heldBits < 16) this.fill();
    const ahead = (this.held >>> (this.heldBits - 16)) & 0xffff;
    const known = table.whole[ahead >> (16 - wholeBits)] as number;
    if (known === 0) return this.longDifference(table, ahead);
    this.heldBits -= known & 31;
    return known >> 5;
  }

  private longDifference(table: HuffmanTable, ahead: number): number {
    const entry = table.codes[ahead] as number;
    const length = entry >> 8;
    if (length === 0) return damaged;
    this.heldBits -= length;
    const category = entry & 255;
    if (category === 16) return 32768;
    if (category > 16) return damaged;
    if (this.heldBits < category) this.fill();
    this.heldBits -= category;
    const value = (this.held >>> this.heldBits) & ((1 << category) - 1);
    const difference = category > 0 && value < 1 << (category - 1) ? value - (1 << category) + 1 : value;
    if (length + category <= wholeBits)
      table.whole[ahead >> (16 - wholeBits)] = difference * 32 + length + category;
    return difference;
  }

  /** Throws the rest of the byte away and passes a restart marker; false when there is none. */
  restart(): boolean {
    this.held = 0;
    this.heldBits = 0;
    const marker = this.bytes[this.at + 1] ?? 0;
    if (this.bytes[this.at] !== 0xff || marker < 0xd0 || marker > 0xd7) return false;
    this.at += 2;
    return true;
  }
}
