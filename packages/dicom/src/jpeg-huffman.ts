import { typicalTables } from './mjpeg';

/** A Huffman table both ways. */
export interface HuffmanPair {
  /** For each 16 bits that may lie ahead: length of the code in the high byte, value in the low; 0 where there is none. */
  readonly decode: Uint16Array;
  /** For each value: length of its code times 65,536 plus the code; 0 where there is none. */
  readonly encode: Int32Array;
}

/** Reads the tables of a DHT segment (ITU-T T.81 B.2.4.2) by class and destination, such as 0x11; false when damaged. */
export function readHuffman(body: Uint8Array, into: Map<number, HuffmanPair>): boolean {
  let at = 0;
  while (at + 17 <= body.length) {
    const where = body[at] ?? 0;
    const decode = new Uint16Array(65536);
    const encode = new Int32Array(256);
    let next = at + 17;
    let code = 0;
    for (let length = 1; length <= 16; length += 1) {
      const count = body[at + length] ?? 0;
      for (let n = 0; n < count; n += 1, next += 1, code += 1) {
        const value = body[next];
        const to = (code + 1) << (16 - length);
        if (value === undefined || to > 65536) return false;
        decode.fill((length << 8) | value, code << (16 - length), to);
        encode[value] = length * 65536 + code;
      }
      code <<= 1;
    }
    into.set(where, { decode, encode });
    at = next;
  }
  return at === body.length;
}

function make(): {
  readonly segment: Uint8Array;
  readonly dc: readonly [HuffmanPair, HuffmanPair];
  readonly ac: readonly [HuffmanPair, HuffmanPair];
} {
  const segment = Uint8Array.from(typicalTables);
  const tables = new Map<number, HuffmanPair>();
  readHuffman(segment, tables);
  const [dc0, dc1, ac0, ac1] = [0x00, 0x01, 0x10, 0x11].map((where) => tables.get(where));
  if (dc0 === undefined || dc1 === undefined || ac0 === undefined || ac1 === undefined)
    throw new Error('the typical tables are incomplete');
  return { segment, dc: [dc0, dc1], ac: [ac0, ac1] };
}

/** The typical tables of T.81 K.3: luma first, then chroma. They have a code for everything that baseline JPEG can hold. */
export const typicalHuffman = make();
