import type { Box } from '@chordae/contract';
import { nextSegment } from './coded-samples';
import { BlockReader, BlockWriter } from './jpeg-entropy';
import type { HuffmanPair } from './jpeg-huffman';
import { readHuffman, typicalHuffman } from './jpeg-huffman';

/** Bytes read ahead of the end; more were never there. */
const mostInvented = 4;
const mostPixels = 64_000_000;

interface Component {
  readonly id: number;
  readonly across: number;
  readonly down: number;
  readonly quantisation: number;
  dc: HuffmanPair | null;
  ac: HuffmanPair | null;
}

interface Frame {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly components: readonly Component[];
  readonly segment: Uint8Array;
}

/**
 * Blackens a baseline JPEG outside the boxes without decoding it to pixels: coefficients of blocks wholly inside stay as
 * they are, so their pixels are those of the file bit for bit; all other blocks (units of 8 or 16 pixels) become black
 * whole, so nothing outside can be seen through. A decoder that smooths halved chroma may tint the one pixel next to a
 * black block. Nothing is written but the picture: no comments, no application data beyond what names the colour space.
 * null when the stream is not sequential, baseline, 8 bits, in one scan, or is damaged: then it has to be coded anew.
 */
export function maskJpegBlocks(bytes: Uint8Array, boxes: readonly Box[]): Uint8Array | null {
  const read = readHeads(bytes);
  if (read === null) return null;
  const { frame, tables, restartInterval, scanAt, colour, quantisation } = read;
  const [across, down] = [
    Math.max(...frame.components.map((part) => part.across)),
    Math.max(...frame.components.map((part) => part.down)),
  ];
  const single = frame.components.length === 1;
  const [unitWidth, unitHeight] = single ? [8, 8] : [8 * across, 8 * down];
  const unitsAcross = Math.ceil(frame.widthPx / unitWidth);
  const unitsDown = Math.ceil(frame.heightPx / unitHeight);
  const visible = visibleUnits(boxes, frame, unitWidth, unitHeight, unitsAcross, unitsDown);
  const black = frame.components.map((part, n) =>
    colour.isRgb || n === 0 ? -Math.ceil(1024 / (quantisation.get(part.quantisation) ?? 1)) : 0,
  );
  const reader = new BlockReader(bytes, scanAt);
  const writer = new BlockWriter();
  const units = unitsAcross * unitsDown;
  for (let unit = 0; unit < units; unit += 1) {
    // Data that have ended give zeros without end: a size that they cannot fill must not keep us busy.
    if (reader.invented > mostInvented) return null;
    if (restartInterval > 0 && unit > 0 && unit % restartInterval === 0 && !reader.restart()) return null;
    for (let n = 0; n < frame.components.length; n += 1) {
      const part = frame.components[n] as Component;
      const blocks = single ? 1 : part.across * part.down;
      for (let block = 0; block < blocks; block += 1) {
        if (part.dc === null || part.ac === null) return null;
        if (!reader.block(n, part.dc, part.ac)) return null;
        const luma = n === 0 ? 0 : 1;
        if (visible[unit] === 1) writer.block(n, reader, typicalHuffman.dc[luma], typicalHuffman.ac[luma]);
        else writer.flat(n, black[n] ?? 0, typicalHuffman.dc[luma], typicalHuffman.ac[luma]);
        if (writer.failed) return null;
      }
    }
  }
  if (reader.invented > mostInvented) return null;
  return assemble(frame, colour.segments, tables, writer.finish());
}

/** 1 for each coded unit that lies wholly in one of the boxes (those at the right and lower edge as far as the picture goes). */
function visibleUnits(
  boxes: readonly Box[],
  { widthPx, heightPx }: Frame,
  unitWidth: number,
  unitHeight: number,
  unitsAcross: number,
  unitsDown: number,
): Uint8Array {
  const out = new Uint8Array(unitsAcross * unitsDown);
  for (let row = 0; row < unitsDown; row += 1)
    for (let column = 0; column < unitsAcross; column += 1) {
      const [x0, y0] = [column * unitWidth, row * unitHeight];
      const [x1, y1] = [Math.min(widthPx, x0 + unitWidth) - 1, Math.min(heightPx, y0 + unitHeight) - 1];
      if (boxes.some((box) => box.x0 <= x0 && box.y0 <= y0 && box.x1 >= x1 && box.y1 >= y1))
        out[row * unitsAcross + column] = 1;
    }
  return out;
}

interface Heads {
  readonly frame: Frame;
  /** Quantisation segments, as they came. */
  readonly tables: readonly Uint8Array[];
  /** First value of each quantisation table. */
  readonly quantisation: ReadonlyMap<number, number>;
  readonly restartInterval: number;
  readonly scanAt: number;
  readonly colour: { readonly segments: readonly Uint8Array[]; readonly isRgb: boolean };
}

function readHeads(bytes: Uint8Array): Heads | null {
  const huffman = new Map<number, HuffmanPair>();
  const quantisation = new Map<number, number>();
  const tables: Uint8Array[] = [];
  let frame: Frame | null = null;
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

function readFrame(body: Uint8Array): Frame | null {
  const count = body[5] ?? 0;
  if (body[0] !== 8 || (count !== 1 && count !== 3) || body.length < 6 + 3 * count) return null;
  const components: Component[] = [];
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
    : { widthPx, heightPx, components, segment: body };
}

function readQuantisation(body: Uint8Array, first: Map<number, number>): boolean {
  let at = 0;
  while (at < body.length) {
    const wide = (body[at] ?? 0) >> 4 === 1;
    const value = wide ? ((body[at + 1] ?? 0) << 8) | (body[at + 2] ?? 0) : (body[at + 1] ?? 0);
    if (value === 0) return false;
    first.set((body[at] ?? 0) & 15, value);
    at += 1 + (wide ? 128 : 64);
  }
  return at === body.length;
}

function readScan(body: Uint8Array, frame: Frame, huffman: ReadonlyMap<number, HuffmanPair>): boolean {
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

/** A JPEG of the same frame with the typical tables and without restart marks. */
function assemble(
  frame: Frame,
  colour: readonly Uint8Array[],
  tables: readonly Uint8Array[],
  scan: Uint8Array,
): Uint8Array {
  const segment = (marker: number, body: Uint8Array): Uint8Array =>
    Uint8Array.from([0xff, marker, (body.length + 2) >> 8, (body.length + 2) & 255, ...body]);
  const scanHead = Uint8Array.from([
    frame.components.length,
    ...frame.components.flatMap((part, n) => [part.id, n === 0 ? 0x00 : 0x11]),
    0,
    63,
    0,
  ]);
  const parts = [
    Uint8Array.from([0xff, 0xd8]),
    ...colour,
    ...tables.map((body) => segment(0xdb, body)),
    segment(0xc0, frame.segment),
    segment(0xc4, typicalHuffman.segment),
    segment(0xda, scanHead),
    scan,
    Uint8Array.from([0xff, 0xd9]),
  ];
  const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}
