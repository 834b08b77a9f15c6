import type { BlockReader } from './jpeg-entropy';

/** Place in a block, row by row, of the n-th coefficient (ITU-T T.81 figure A.6). */
const zigzag = [
  0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5, 12, 19, 26, 33, 40, 48, 41, 34, 27, 20, 13, 6, 7,
  14, 21, 28, 35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51, 58, 59, 52, 45, 38, 31, 39, 46,
  53, 60, 61, 54, 47, 55, 62, 63,
];

/** The block of a component just read, dequantised, row by row. */
export function readCoefficients(
  reader: BlockReader,
  component: number,
  divisors: readonly number[],
  block: Float64Array,
): void {
  block.fill(0);
  block[0] = (reader.level[component] as number) * (divisors[0] as number);
  let place = 0;
  for (let n = 0; n < reader.count; n += 1) {
    const code = reader.codes[n] as number;
    const size = (code >> 16) & 15;
    place += 1 + (code >> 20);
    if (size === 0) continue;
    const raw = code & 0xffff;
    const value = raw < 1 << (size - 1) ? raw - (1 << size) + 1 : raw;
    block[zigzag[place] as number] = value * (divisors[place] as number);
  }
}

/** cos((2x + 1) u pi / 16) / 2 by u and x, the first row by 1 / sqrt 8: square roots only, the same on every machine. */
const cosines = ((): Float64Array => {
  const half = (x: number): number => Math.sqrt((1 + x) / 2);
  const quarter = Math.sqrt(0.5);
  const eighth = half(quarter);
  const table = [1, half(eighth), eighth, 0, quarter, 0, Math.sqrt(1 - eighth * eighth), 0];
  // cos of 3, 5 and 7 sixteenths by cos(3a) = 4 cos^3 a - 3 cos a and sin(a) = cos(pi/2 - a).
  const c1 = table[1] as number;
  table[3] = 4 * c1 * c1 * c1 - 3 * c1;
  table[5] = Math.sqrt(1 - (table[3] as number) * (table[3] as number));
  table[7] = Math.sqrt(1 - c1 * c1);
  const cosine = (sixteenths: number): number => {
    const turn = sixteenths % 32;
    const up = turn > 16 ? 32 - turn : turn;
    return up > 8 ? -(table[16 - up] ?? 0) : up === 8 ? 0 : (table[up] as number);
  };
  return Float64Array.from({ length: 64 }, (_, n) => {
    const [u, x] = [n >> 3, n & 7];
    return u === 0 ? Math.sqrt(0.125) : cosine((2 * x + 1) * u) / 2;
  });
})();

const rows = new Float64Array(64);

/** Inverse cosine transformation of T.81 A.3.3, rows, then columns, in place. */
export function inverse(block: Float64Array): void {
  for (let y = 0; y < 8; y += 1)
    for (let x = 0; x < 8; x += 1) {
      let sum = 0;
      for (let u = 0; u < 8; u += 1) sum += (block[8 * y + u] as number) * (cosines[8 * u + x] as number);
      rows[8 * y + x] = sum;
    }
  for (let x = 0; x < 8; x += 1)
    for (let y = 0; y < 8; y += 1) {
      let sum = 0;
      for (let v = 0; v < 8; v += 1) sum += (rows[8 * v + x] as number) * (cosines[8 * v + y] as number);
      block[8 * y + x] = sum;
    }
}

/** The forward transformation of the same clause, in place. */
export function forward(block: Float64Array): void {
  for (let y = 0; y < 8; y += 1)
    for (let u = 0; u < 8; u += 1) {
      let sum = 0;
      for (let x = 0; x < 8; x += 1) sum += (block[8 * y + x] as number) * (cosines[8 * u + x] as number);
      rows[8 * y + u] = sum;
    }
  for (let u = 0; u < 8; u += 1)
    for (let v = 0; v < 8; v += 1) {
      let sum = 0;
      for (let y = 0; y < 8; y += 1) sum += (rows[8 * y + u] as number) * (cosines[8 * v + y] as number);
      block[8 * v + u] = sum;
    }
}

/** Divides a block by its divisors into the order of the zigzag, within what baseline JPEG can hold (T.81 F.1.2). */
export function quantised(block: Float64Array, divisors: readonly number[], into: Int32Array): void {
  for (let place = 0; place < 64; place += 1) {
    const value = Math.round((block[zigzag[place] as number] as number) / (divisors[place] as number));
    const most = place === 0 ? 1024 : 1023;
    into[place] = Math.max(place === 0 ? -1024 : -1023, Math.min(most, value));
  }
}
