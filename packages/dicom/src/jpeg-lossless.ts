import type { CodedSamples, FrameHead, WantedSize } from './coded-samples';
import { nextSegment, readFrameHead, roomFor } from './coded-samples';
import type { HuffmanTable } from './jpeg-lossless-bits';
import { damaged, LosslessBits, readTables } from './jpeg-lossless-bits';

/**
 * JPEG lossless (process 14, ITU-T T.81 annex H): Huffman-coded differences to one of seven predictions. All selection
 * values, point transform, restart intervals, one scan for all components or one for each.
 */
export function decodeJpegLossless(bytes: Uint8Array, wanted: WantedSize): CodedSamples | null {
  const tables = new Map<number, HuffmanTable>();
  let head: FrameHead | null = null;
  let samples: Uint8Array | Uint16Array | null = null;
  let restartInterval = 0;
  const seen = new Set<number>();
  let at = 2;
  for (;;) {
    const segment = nextSegment(bytes, at);
    if (segment === null || segment.marker === 0xd9) break;
    const { marker, body } = segment;
    at = segment.end;
    if (marker === 0xc3) {
      if (head !== null) return null;
      head = readFrameHead(body);
      samples = head === null ? null : roomFor(head, wanted);
      if (samples === null) return null;
    } else if (marker === 0xc4) {
      if (!readTables(body, tables)) return null;
    } else if (marker === 0xdd) restartInterval = ((body[0] ?? 0) << 8) | (body[1] ?? 0);
    else if (marker === 0xda) {
      if (head === null || samples === null) return null;
      const scan = readScan(body, head, tables);
      if (scan === null) return null;
      const end = decodeScan(bytes, at, scan, head, samples, restartInterval);
      if (end === null) return null;
      for (const component of scan.components) seen.add(component);
      at = end;
    }
  }
  if (head === null || samples === null || seen.size !== head.componentIds.length) return null;
  return {
    widthPx: head.widthPx,
    heightPx: head.heightPx,
    components: head.componentIds.length,
    precision: head.precision,
    samples,
  };
}

interface Scan {
  readonly components: readonly number[];
  readonly tables: readonly HuffmanTable[];
  readonly predictor: number;
  readonly pointTransform: number;
}

function readScan(body: Uint8Array, head: FrameHead, tables: Map<number, HuffmanTable>): Scan | null {
  const count = body[0] ?? 0;
  if (count < 1 || body.length < 4 + 2 * count) return null;
  const components: number[] = [];
  const used: HuffmanTable[] = [];
  for (let n = 0; n < count; n += 1) {
    const component = head.componentIds.indexOf(body[1 + 2 * n] ?? -1);
    const table = tables.get((body[2 + 2 * n] ?? 0) >> 4);
    if (component < 0 || table === undefined || components.includes(component)) return null;
    components.push(component);
    used.push(table);
  }
  const predictor = body[1 + 2 * count] ?? 0;
  const pointTransform = (body[3 + 2 * count] ?? 0) & 15;
  if (predictor < 1 || predictor > 7 || pointTransform >= head.precision) return null;
  return { components, tables: used, predictor, pointTransform };
}

/** Decodes one scan into its components' places; gives where the data end, or null when they are damaged. */
function decodeScan(
  bytes: Uint8Array,
  start: number,
  scan: Scan,
  head: FrameHead,
  samples: Uint8Array | Uint16Array,
  restartInterval: number,
): number | null {
  const { widthPx, heightPx } = head;
  const bits = new LosslessBits(bytes, start);
  const rows = restartInterval / widthPx;
  // T.81 H.1.1: the interval is a whole number of rows; after a restart prediction begins as on the first row.
  if (restartInterval > 0 && rows < heightPx && !Number.isInteger(rows)) return null;
  for (let y = 0; y < heightPx; y += 1) {
    const restarts = restartInterval > 0 && y > 0 && y % rows === 0;
    if (restarts && !bits.restart()) return null;
    if (!decodeRow(bits, scan, head, samples, y, y === 0 || restarts)) return null;
    // A little is read ahead; more than that was never in the file.
    if (bits.invented > 8) return null;
  }
  return bits.at;
}

/** One row of the scan's components, predicted from the row above unless it is `fresh`; false when damaged. */
function decodeRow(
  bits: LosslessBits,
  scan: Scan,
  head: FrameHead,
  samples: Uint8Array | Uint16Array,
  y: number,
  fresh: boolean,
): boolean {
  const step = head.componentIds.length;
  const rowStep = head.widthPx * step;
  const { components, tables, pointTransform } = scan;
  const predictor = fresh ? 1 : scan.predictor;
  const count = components.length;
  const only = tables[0];
  if (count === 1 && step === 1 && pointTransform === 0 && predictor === 1 && only !== undefined) {
    const start = y * rowStep;
    const before = fresh ? 1 << (head.precision - 1) : (samples[start - rowStep] as number);
    return decodePlainRow(bits, only, samples, start, rowStep, before);
  }
  for (let x = 0; x < head.widthPx; x += 1)
    for (let n = 0; n < count; n += 1) {
      const place = y * rowStep + x * step + (components[n] as number);
      const difference = bits.difference(tables[n] as HuffmanTable);
      if (difference === damaged) return false;
      let prediction: number;
      if (x === 0)
        prediction = fresh
          ? 1 << (head.precision - pointTransform - 1)
          : (samples[place - rowStep] as number) >> pointTransform;
      else {
        prediction = (samples[place - step] as number) >> pointTransform;
        if (predictor !== 1) {
          const above = (samples[place - rowStep] as number) >> pointTransform;
          const corner = (samples[place - rowStep - step] as number) >> pointTransform;
          prediction = predict(predictor, prediction, above, corner);
        }
      }
      samples[place] = ((prediction + difference) & 0xffff) << pointTransform;
    }
  return true;
}

/** The commonest row: one component, each sample predicted by the one to its left. */
function decodePlainRow(
  bits: LosslessBits,
  table: HuffmanTable,
  samples: Uint8Array | Uint16Array,
  start: number,
  widthPx: number,
  before: number,
): boolean {
  let last = before;
  for (let place = start; place < start + widthPx; place += 1) {
    const difference = bits.difference(table);
    if (difference === damaged) return false;
    last += difference;
    samples[place] = last;
  }
  return true;
}

/** T.81 table H.1, but for the first, which is what is left of it. */
function predict(kind: number, left: number, above: number, corner: number): number {
  switch (kind) {
    case 2:
      return above;
    case 3:
      return corner;
    case 4:
      return left + above - corner;
    case 5:
      return left + ((above - corner) >> 1);
    case 6:
      return above + ((left - corner) >> 1);
    default:
      return (left + above) >> 1;
  }
}
