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

/** For each 16 bits that may lie ahead: length of the code in the high byte, value in the low; 0 where there is none. */
type HuffmanTable = Uint16Array;

/** Tables of T.81 B.2.4.2 by destination; false when damaged. */
function readTables(body: Uint8Array, tables: Map<number, HuffmanTable>): boolean {
  let at = 0;
  while (at + 17 <= body.length) {
    const destination = (body[at] ?? 0) & 15;
    const table = new Uint16Array(65536);
    let next = at + 17;
    let code = 0;
    for (let length = 1; length <= 16; length += 1) {
      const count = body[at + length] ?? 0;
      for (let n = 0; n < count; n += 1) {
        if (next >= body.length) return false;
        const from = code << (16 - length);
        const to = (code + 1) << (16 - length);
        if (to > 65536) return false;
        table.fill((length << 8) | (body[next] ?? 0), from, to);
        next += 1;
        code += 1;
      }
      code <<= 1;
    }
    tables.set(destination, table);
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
    while (this.heldBits <= 16) {
      let byte = 0;
      const found = this.bytes[this.at];
      if (found === undefined || (found === 0xff && this.bytes[this.at + 1] !== 0)) this.invented += 1;
      else {
        byte = found;
        this.at += found === 0xff ? 2 : 1;
      }
      this.held = ((this.held << 8) | byte) & 0xffffff;
      this.heldBits += 8;
    }
  }

  /** The difference coded next by `table` (T.81 H.1.2.2), or null. */
  difference(table: HuffmanTable): number | null {
    if (this.heldBits < 16) this.fill();
    const entry = table[(this.held >>> (this.heldBits - 16)) & 0xffff] ?? 0;
    const length = entry >> 8;
    if (length === 0) return null;
    this.heldBits -= length;
    const category = entry & 255;
    if (category === 0) return 0;
    if (category === 16) return 32768;
    if (category > 16) return null;
    if (this.heldBits < category) this.fill();
    this.heldBits -= category;
    const value = (this.held >>> this.heldBits) & ((1 << category) - 1);
    return value < 1 << (category - 1) ? value - (1 << category) + 1 : value;
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
  const step = head.componentIds.length;
  const rowStep = widthPx * step;
  const { predictor, pointTransform } = scan;
  const first = 1 << (head.precision - pointTransform - 1);
  const bits = new Bits(bytes, start);
  // T.81 H.1.1: the interval is a whole number of rows; after a restart prediction begins as on the first row.
  let untilRestart = restartInterval;
  let freshRow = 0;
  for (let y = 0; y < heightPx; y += 1) {
    for (let x = 0; x < widthPx; x += 1) {
      if (restartInterval > 0 && untilRestart === 0) {
        if (x !== 0 || !bits.restart()) return null;
        untilRestart = restartInterval;
        freshRow = y;
      }
      untilRestart -= 1;
      for (let n = 0; n < scan.components.length; n += 1) {
        const place = y * rowStep + x * step + (scan.components[n] ?? 0);
        const difference = bits.difference(scan.tables[n] as HuffmanTable);
        if (difference === null) return null;
        let prediction: number;
        if (y === freshRow)
          prediction = x === 0 ? first : (samples[place - step] as number) >> pointTransform;
        else if (x === 0) prediction = (samples[place - rowStep] as number) >> pointTransform;
        else {
          const left = (samples[place - step] as number) >> pointTransform;
          const above = (samples[place - rowStep] as number) >> pointTransform;
          const corner = (samples[place - rowStep - step] as number) >> pointTransform;
          prediction = predict(predictor, left, above, corner);
        }
        samples[place] = ((prediction + difference) & 0xffff) << pointTransform;
      }
    }
    // A little is read ahead; more than that was never in the file.
    if (bits.invented > 8) return null;
  }
  return bits.at;
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
