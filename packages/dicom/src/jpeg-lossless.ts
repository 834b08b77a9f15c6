import type { CodedSamples, FrameHead, WantedSize } from './coded-samples';
import { nextSegment, readFrameHead, roomFor } from './coded-samples';

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

interface HuffmanTable {
  /** For each 16 bits that may lie ahead: length of the code in the high byte, value in the low; 0 where there is none. */
  readonly codes: Uint16Array;
  /** Likewise, once met: the whole difference times 32 plus the bits of code and difference; 0 when they are more than 16. */
  readonly whole: Int32Array;
}

/** No difference has this size. */
const damaged = 0x7fffffff;

/** Tables of T.81 B.2.4.2 by destination; false when damaged. */
function readTables(body: Uint8Array, tables: Map<number, HuffmanTable>): boolean {
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
    tables.set(destination, { codes, whole: new Int32Array(65536) });
    at = next;
  }
  return at === body.length;
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

/** Bits of entropy-coded data: stuffed zeros left out, stops at a marker and then gives zeros. */
class Bits {
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
    const known = table.whole[ahead] as number;
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
    if (length + category <= 16) table.whole[ahead] = difference * 32 + length + category;
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
  const bits = new Bits(bytes, start);
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
  bits: Bits,
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

/** T.81 table H.1. */
function predict(kind: number, left: number, above: number, corner: number): number {
  switch (kind) {
    case 1:
      return left;
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
