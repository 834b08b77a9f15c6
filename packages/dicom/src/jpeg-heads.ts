import { nextSegment } from './coded-samples';
import type { HuffmanPair } from './jpeg-huffman';
import { readHuffman } from './jpeg-huffman';

const mostPixels = 64_000_000;

export interface JpegComponent {
  readonly id: number;
  readonly across: number;
  readonly down: number;
  readonly quantisation: number;
  dc: HuffmanPair | null;
  ac: HuffmanPair | null;
}

/** Of a sequential JPEG: 8 bits (processes 1 and 2) or 12 (process 4 of ITU-T T.81). */
export interface JpegFrame {
  readonly precision: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly components: readonly JpegComponent[];
  readonly segment: Uint8Array;
}

export interface JpegHeads {
  readonly frame: JpegFrame;
  /** Quantisation segments, as they came. */
  readonly tables: readonly Uint8Array[];
  /** Divisors in the order of the zigzag, by table. */
  readonly quantisation: ReadonlyMap<number, readonly number[]>;
  readonly restartInterval: number;
  readonly scanAt: number;
  readonly colour: { readonly segments: readonly Uint8Array[]; readonly isRgb: boolean };
}

/** Heads up to the first scan of a sequential JPEG in one scan; null when it is another or damaged. */
export function readJpegHeads(bytes: Uint8Array): JpegHeads | null {
  const huffman = new Map<number, HuffmanPair>();
  const quantisation = new Map<number, readonly number[]>();
  const tables: Uint8Array[] = [];
  let frame: JpegFrame | null = null;
  let restartInterval = 0;
  let jfif = false;
  let transform: number | null = null;
  let at = 2;
  for (;;) {
    const segment = nextSegment(bytes, at);
    if (segment === null || segment.marker === 0xd9) return null;
    const { marker, body } = segment;
    if (marker === 0xc0 || marker === 0xc1) {
      if (frame !== null) return null;
      frame = readFrame(body);
      if (frame === null) return null;
    } else if (marker === 0xc4) {
      if (!readHuffman(body, huffman)) return null;
    } else if (marker === 0xdb) {
      if (!readQuantisation(body, quantisation)) return null;
      tables.push(body);
    } else if (marker === 0xdd) restartInterval = ((body[0] ?? 0) << 8) | (body[1] ?? 0);
    else if (marker === 0xe0) jfif ||= text(body, 4) === 'JFIF';
    else if (marker === 0xee && text(body, 5) === 'Adobe' && body.length >= 12) transform = body[11] ?? 0;
    else if (marker >= 0xc2 && marker <= 0xcf) return null;
    else if (marker === 0xda) {
      if (frame === null || !readScan(body, frame, huffman)) return null;
      const ids = frame.components.map((part) => String.fromCharCode(part.id)).join('');
      const isRgb =
        frame.components.length === 3 && !jfif && (transform === 0 || (transform === null && ids === 'RGB'));
      const segments: Uint8Array[] = [];
      if (jfif)
        segments.push(
          Uint8Array.from([0xff, 0xe0, 0, 16, 0x4a, 0x46, 0x49, 0x46, 0, 1, 1, 0, 0, 1, 0, 1, 0, 0]),
        );
      if (transform !== null)
        segments.push(
          Uint8Array.from([0xff, 0xee, 0, 14, 0x41, 0x64, 0x6f, 0x62, 0x65, 0, 100, 0, 0, 0, 0, transform]),
        );
      return {
        frame,
        tables,
        quantisation,
        restartInterval,
        scanAt: segment.end,
        colour: { segments, isRgb },
      };
    }
    at = segment.end;
  }
}

function text(bytes: Uint8Array, length: number): string {
  return String.fromCharCode(...bytes.subarray(0, length));
}

function readFrame(body: Uint8Array): JpegFrame | null {
  const count = body[5] ?? 0;
  const precision = body[0] ?? 0;
  if ((precision !== 8 && precision !== 12) || (count !== 1 && count !== 3) || body.length < 6 + 3 * count)
    return null;
  const components: JpegComponent[] = [];
  for (let n = 0; n < count; n += 1) {
    const sampling = body[7 + 3 * n] ?? 0;
    const part = {
      id: body[6 + 3 * n] ?? 0,
      across: sampling >> 4,
      down: sampling & 15,
      quantisation: body[8 + 3 * n] ?? 0,
      dc: null,
      ac: null,
    };
    if (part.across < 1 || part.across > 4 || part.down < 1 || part.down > 4) return null;
    components.push(part);
  }
  const heightPx = ((body[1] ?? 0) << 8) | (body[2] ?? 0);
  const widthPx = ((body[3] ?? 0) << 8) | (body[4] ?? 0);
  return widthPx === 0 || heightPx === 0 || widthPx * heightPx > mostPixels
    ? null
    : { precision, widthPx, heightPx, components, segment: body };
}

function readQuantisation(body: Uint8Array, tables: Map<number, readonly number[]>): boolean {
  let at = 0;
  while (at < body.length) {
    const wide = (body[at] ?? 0) >> 4 === 1;
    const start = at + 1;
    const values = Array.from({ length: 64 }, (_, n) =>
      wide ? ((body[start + 2 * n] ?? 0) << 8) | (body[start + 2 * n + 1] ?? 0) : (body[start + n] ?? 0),
    );
    if (values[0] === 0) return false;
    tables.set((body[at] ?? 0) & 15, values);
    at += 1 + (wide ? 128 : 64);
  }
  return at === body.length;
}

function readScan(body: Uint8Array, frame: JpegFrame, huffman: ReadonlyMap<number, HuffmanPair>): boolean {
  if (body[0] !== frame.components.length) return false;
  for (const [n, part] of frame.components.entries()) {
    if (body[1 + 2 * n] !== part.id) return false;
    const where = body[2 + 2 * n] ?? 0;
    part.dc = huffman.get(where >> 4) ?? null;
    part.ac = huffman.get(0x10 | (where & 15)) ?? null;
    if (part.dc === null || part.ac === null) return false;
  }
  return true;
}
