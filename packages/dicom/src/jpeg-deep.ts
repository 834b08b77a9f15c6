import type { CodedSamples, WantedSize } from './coded-samples';
import { inverse, readCoefficients } from './jpeg-block';
import { BlockReader } from './jpeg-entropy';
import { readJpegHeads } from './jpeg-heads';

/** Bytes read ahead of the end; more were never there. */
const mostInvented = 4;

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
    readCoefficients(reader, 0, divisors, block);
    inverse(block);
    put(block, samples, (unit % across) * 8, Math.floor(unit / across) * 8, widthPx, heightPx);
  }
  if (reader.invented > mostInvented) return null;
  return { widthPx, heightPx, components: 1, precision: 12, samples };
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
