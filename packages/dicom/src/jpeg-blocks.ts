import type { Box } from '@chordae/contract';
import { forward, inverse, quantised, readCoefficients } from './jpeg-block';
import { BlockReader, BlockWriter } from './jpeg-entropy';
import type { JpegComponent, JpegFrame, JpegHeads } from './jpeg-heads';
import { readJpegHeads } from './jpeg-heads';
import { typicalHuffman } from './jpeg-huffman';

/** Bytes read ahead of the end; more were never there. */
const mostInvented = 4;
/** Levels below black that covered samples of an edge get at most. */
const mostBelow = 28;

/**
 * Blackens a baseline JPEG outside the boxes without decoding it to pixels: coefficients of units (8 or 16 pixels) wholly
 * inside stay as they are, so their pixels are those of the file bit for bit; units wholly outside become black. Of a unit
 * on the edge the samples outside are made black and it is coded anew with the file's own divisors: what is visible of it
 * stays within their rounding, and of what is covered nothing goes into it. A decoder that smooths halved chroma may tint
 * the one pixel next to a black block. Nothing is written but the picture: no comments, no application data beyond what
 * names the colour space. null when the stream is not sequential, baseline, 8 bits, in one scan, or is damaged: then it has
 * to be coded anew.
 */
export function maskJpegBlocks(bytes: Uint8Array, boxes: readonly Box[]): Uint8Array | null {
  const read = readJpegHeads(bytes);
  if (read === null || read.frame.precision !== 8) return null;
  const { frame, tables, restartInterval, scanAt, colour } = read;
  const units = unitsOf(frame);
  const reader = new BlockReader(bytes, scanAt);
  const masking = maskingOf(read, units, boxes);
  const { writer } = masking;
  for (let unit = 0; unit < units.across * units.down; unit += 1) {
    // Data that have ended give zeros without end: a size that they cannot fill must not keep us busy.
    if (reader.invented > mostInvented) return null;
    if (restartInterval > 0 && unit > 0 && unit % restartInterval === 0 && !reader.restart()) return null;
    for (let n = 0; n < frame.components.length; n += 1) {
      const part = frame.components[n] as JpegComponent;
      const blocks = frame.components.length === 1 ? 1 : part.across * part.down;
      for (let block = 0; block < blocks; block += 1) {
        if (part.dc === null || part.ac === null) return null;
        if (!reader.block(n, part.dc, part.ac)) return null;
        writeMasked(masking, reader, n, unit, block);
        if (writer.failed) return null;
      }
    }
  }
  if (reader.invented > mostInvented) return null;
  return assemble(frame, colour.segments, tables, writer.finish());
}

interface Units {
  /** Blocks across and down of the component that has most of them. */
  readonly most: { readonly across: number; readonly down: number };
  readonly widthPx: number;
  readonly heightPx: number;
  /** Units in a row, and rows of them. */
  readonly across: number;
  readonly down: number;
}

function unitsOf(frame: JpegFrame): Units {
  const single = frame.components.length === 1;
  const most = {
    across: single ? 1 : Math.max(...frame.components.map((part) => part.across)),
    down: single ? 1 : Math.max(...frame.components.map((part) => part.down)),
  };
  const [widthPx, heightPx] = [8 * most.across, 8 * most.down];
  return {
    most,
    widthPx,
    heightPx,
    across: Math.ceil(frame.widthPx / widthPx),
    down: Math.ceil(frame.heightPx / heightPx),
  };
}

interface Masking {
  readonly frame: JpegFrame;
  readonly units: Units;
  readonly visible: Uint8Array;
  /** For each unit: 0 black, 1 as it is, 2 on the edge. */
  readonly states: Uint8Array;
  readonly writer: BlockWriter;
  /** Level of a sample that shows nothing, by component: black, or no colour. */
  readonly nothing: readonly number[];
  readonly divisors: readonly (readonly number[] | undefined)[];
  readonly block: Float64Array;
  readonly coded: Int32Array;
}

function maskingOf({ frame, quantisation, colour }: JpegHeads, units: Units, boxes: readonly Box[]): Masking {
  const visible = visiblePixels(boxes, frame.widthPx, frame.heightPx);
  return {
    frame,
    units,
    visible,
    states: unitStates(visible, frame, units),
    writer: new BlockWriter(),
    nothing: frame.components.map((_part, n) => (colour.isRgb || n === 0 ? -128 : 0)),
    divisors: frame.components.map((part) => quantisation.get(part.quantisation)),
    block: new Float64Array(64),
    coded: new Int32Array(64),
  };
}

/** Writes the block that was just read as far as it may be seen. */
function writeMasked(m: Masking, reader: BlockReader, component: number, unit: number, block: number): void {
  const { writer } = m;
  const luma = component === 0 ? 0 : 1;
  const [dc, ac] = [typicalHuffman.dc[luma], typicalHuffman.ac[luma]];
  const state = m.states[unit];
  if (state === 1) return writer.block(component, reader, dc, ac);
  const divisors = m.divisors[component];
  const nothing = m.nothing[component] ?? 0;
  if (state === 0 || divisors === undefined)
    return writer.flat(component, -Math.ceil((-8 * nothing) / (divisors?.[0] ?? 1)), dc, ac);
  readCoefficients(reader, component, divisors, m.block);
  inverse(m.block);
  // Blacker than black by about what rounding brings back, so that covered samples do not glimmer beside a bright edge.
  const below = nothing < 0 ? Math.min(mostBelow, 2 * ((divisors[0] as number) - 1)) : 0;
  if (coverSamples(m, component, unit, block, nothing - below) === 0)
    return writer.block(component, reader, dc, ac);
  forward(m.block);
  quantised(m.block, divisors, m.coded);
  writer.coefficients(component, m.coded, dc, ac);
}

/**
 * Gives the samples of a block that show nothing visible that level; how many they were. A sample of halved chroma counts
 * as visible with any of its pixels: those outside are black by their luma. Beyond the picture's edge its last pixels count.
 */
function coverSamples(m: Masking, component: number, unit: number, block: number, nothing: number): number {
  const { frame, units, visible } = m;
  const part = frame.components[component] as JpegComponent;
  const blocksAcross = frame.components.length === 1 ? 1 : part.across;
  const blocksDown = frame.components.length === 1 ? 1 : part.down;
  const [stepX, stepY] = [units.most.across / blocksAcross, units.most.down / blocksDown];
  const left = (unit % units.across) * units.widthPx + 8 * stepX * (block % blocksAcross);
  const top = Math.floor(unit / units.across) * units.heightPx + 8 * stepY * Math.floor(block / blocksAcross);
  let covered = 0;
  for (let y = 0; y < 8; y += 1)
    for (let x = 0; x < 8; x += 1) {
      let seen = 0;
      for (let dy = 0; dy < stepY; dy += 1)
        for (let dx = 0; dx < stepX; dx += 1) {
          const px = Math.min(frame.widthPx - 1, Math.floor(left + x * stepX + dx));
          const py = Math.min(frame.heightPx - 1, Math.floor(top + y * stepY + dy));
          seen |= visible[py * frame.widthPx + px] as number;
        }
      if (seen === 1) continue;
      m.block[8 * y + x] = nothing;
      covered += 1;
    }
  return covered;
}

/** 1 for each pixel that lies in one of the boxes. */
function visiblePixels(boxes: readonly Box[], widthPx: number, heightPx: number): Uint8Array {
  const out = new Uint8Array(widthPx * heightPx);
  for (const box of boxes) {
    const [left, right] = [Math.max(0, box.x0), Math.min(widthPx - 1, box.x1)];
    if (right < left) continue;
    for (let y = Math.max(0, box.y0); y <= Math.min(heightPx - 1, box.y1); y += 1)
      out.fill(1, y * widthPx + left, y * widthPx + right + 1);
  }
  return out;
}

function unitStates(visible: Uint8Array, { widthPx, heightPx }: JpegFrame, units: Units): Uint8Array {
  const states = new Uint8Array(units.across * units.down);
  for (let row = 0; row < units.down; row += 1)
    for (let column = 0; column < units.across; column += 1) {
      const [x0, y0] = [column * units.widthPx, row * units.heightPx];
      const [x1, y1] = [Math.min(widthPx, x0 + units.widthPx), Math.min(heightPx, y0 + units.heightPx)];
      let seen = 0;
      for (let y = y0; y < y1; y += 1)
        for (let x = x0; x < x1; x += 1) seen += visible[y * widthPx + x] as number;
      states[row * units.across + column] = seen === 0 ? 0 : seen === (x1 - x0) * (y1 - y0) ? 1 : 2;
    }
  return states;
}

/** A JPEG of the same frame with the typical tables and without restart marks. */
function assemble(
  frame: JpegFrame,
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
