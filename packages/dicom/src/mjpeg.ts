import { nextSegment } from './coded-samples';

/** Code counts by length and values of the typical tables, ITU-T T.81 K.3: class and destination first. */
const typical: readonly (readonly [number, readonly number[], readonly number[]])[] = [
  [0x00, [0, 1, 5, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, 0], [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]],
  [0x01, [0, 3, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0], [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]],
  [
    0x10,
    [0, 2, 1, 3, 3, 2, 4, 3, 5, 5, 4, 4, 0, 0, 1, 0x7d],
    hex(
      '01020300041105122131410613516107227114328191a1082342b1c11552d1f02433627282090a161718191a25262728292a3435363738393a434445464748494a535455565758595a636465666768696a737475767778797a838485868788898a92939495969798999aa2a3a4a5a6a7a8a9aab2b3b4b5b6b7b8b9bac2c3c4c5c6c7c8c9cad2d3d4d5d6d7d8d9dae1e2e3e4e5e6e7e8e9eaf1f2f3f4f5f6f7f8f9fa',
    ),
  ],
  [
    0x11,
    [0, 2, 1, 2, 4, 4, 3, 4, 7, 5, 4, 4, 0, 1, 2, 0x77],
    hex(
      '000102031104052131061241510761711322328108144291a1b1c109233352f0156272d10a162434e125f11718191a262728292a35363738393a434445464748494a535455565758595a636465666768696a737475767778797a82838485868788898a92939495969798999aa2a3a4a5a6a7a8a9aab2b3b4b5b6b7b8b9bac2c3c4c5c6c7c8c9cad2d3d4d5d6d7d8d9dae2e3e4e5e6e7e8e9eaf2f3f4f5f6f7f8f9fa',
    ),
  ],
];

/** The body of a DHT segment with all four. */
export const typicalTables: readonly number[] = typical.flatMap(([where, counts, values]) => [
  where,
  ...counts,
  ...values,
]);

function hex(text: string): number[] {
  return Array.from({ length: text.length / 2 }, (_, n) => Number.parseInt(text.slice(2 * n, 2 * n + 2), 16));
}

/**
 * A frame of a motion JPEG film as a JPEG file: many writers leave the Huffman tables out, because the typical ones are
 * meant. With tables of its own it comes back as it is, without what may follow its end.
 */
export function withHuffmanTables(bytes: Uint8Array): Uint8Array {
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return bytes;
  for (let at = 2; ; ) {
    const segment = nextSegment(bytes, at);
    if (segment === null || segment.marker === 0xc4) return bytes;
    if (segment.marker === 0xda) break;
    at = segment.end;
  }
  const tables = typicalTables;
  const out = new Uint8Array(bytes.length + 4 + tables.length);
  out.set([0xff, 0xd8, 0xff, 0xc4, (tables.length + 2) >> 8, (tables.length + 2) & 255, ...tables]);
  out.set(bytes.subarray(2), 6 + tables.length);
  return out;
}
