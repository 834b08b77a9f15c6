import type { CodedSamples, WantedSize } from './coded-samples';
import { BlockReader } from './jpeg-entropy';
import { readJpegHeads } from './jpeg-heads';

/** Bytes read ahead of the end; more were never there. */
const mostInvented = 4;

/** Place in a block, row by row, of the n-th coefficient (ITU-T T.81 figure A.6). */
const zigzag = [
  0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5, 12, 19, 26, 33, 40, 48, 41, 34, 27, 20, 13, 6, 7,
  14, 21, 28, 35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51, 58, 59, 52, 45, 38, 31, 39, 46,
  53, 60, 61, 54, 47, 55, 62, 63,
];

/**
 * JPEG extended (process 4, ITU-T T.81) of 12 bits and one component: what the picture codec does not read. Sequential
 * Huffman coding in one scan; the inverse transformation in floating point. null when it is another or damaged.
 */
export function decodeJpeg12(bytes: Uint8Array, wanted: WantedSize): CodedSamples | null {
  const read = readJpegHeads(bytes);
  const part = read?.frame.components[0];
  if (read === null || part === undefined || read.frame.precision !== 12) return null;
  const { widthPx, heightPx, components } = read.frame;
  if (components.length !== 1 || widthPx !== wanted.widthPx || heightPx !== wanted.heightPx) return null;
  const divisors = read.quantisation.get(part.quantisation);
  if (divisors === undefined || part.dc === null || part.ac === null) return null;
  const reader = new BlockReader(bytes, read.scanAt, 12);
  const samples = new Uint16Array(widthPx * heightPx);
  const block = new Float64Array(64);
  const across = Math.ceil(widthPx / 8);
  const blocks = across * Math.ceil(heightPx / 8);
  for (let unit = 0; unit < blocks; unit += 1) {
    if (reader.invented > mostInvented) return null;
    if (read.restartInterval > 0 && unit > 0 && unit % read.restartInterval === 0 && !reader.restart())
      return null;
    if (!reader.block(0, part.dc, part.ac)) return null;
    coefficients(reader, divisors, block);
    inverse(block);
    put(block, samples, (unit % across) * 8, Math.floor(unit / across) * 8, widthPx, heightPx);
  }
  if (reader.invented > mostInvented) return null;
  return { widthPx, heightPx, components: 1, precision: 12, samples };
}

/** The block just read, dequantised. */
function coefficients(reader: BlockReader, divisors: readonly number[], block: Float64Array): void {
  block.fill(0);
  block[0] = (reader.level[0] as number) * (divisors[0] as number);
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
function inverse(block: Float64Array): void {
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

function put(
  block: Float64Array,
  samples: Uint16Array,
  left: number,
  top: number,
  widthPx: number,
  heightPx: number,
): void {
  const [right, bottom] = [Math.min(8, widthPx - left), Math.min(8, heightPx - top)];
  for (let y = 0; y < bottom; y += 1)
    for (let x = 0; x < right; x += 1) {
      const value = Math.floor((block[8 * y + x] as number) + 2048.5);
      samples[(top + y) * widthPx + left + x] = value < 0 ? 0 : value > 4095 ? 4095 : value;
    }
}
