import type { Box } from '@chordae/contract';
import { forward, inverse, quantised, readCoefficients } from './jpeg-block';
import { BlockReader, BlockWriter } from './jpeg-entropy';
import type { JpegComponent, JpegFrame, JpegHeads } from './jpeg-heads';
import { readJpegHeads } from './jpeg-heads';
import { typicalHuffman } from './jpeg-huffman';
import type { VisibleBlocks } from './jpeg-visible';
import { unitsOf, visibleBlocks } from './jpeg-visible';

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
  const masking = maskingOf(read, visibleBlocks(boxes, frame, units));
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

interface Masking {
  readonly visible: VisibleBlocks;
  readonly writer: BlockWriter;
  /** Level of a sample that shows nothing, by component: black, or no colour. */
  readonly nothing: readonly number[];
  readonly divisors: readonly (readonly number[] | undefined)[];
  readonly block: Float64Array;
  readonly coded: Int32Array;
}

function maskingOf({ frame, quantisation, colour }: JpegHeads, visible: VisibleBlocks): Masking {
  return {
    visible,
    writer: new BlockWriter(),
    nothing: frame.components.map((_part, n) => (colour.isRgb || n === 0 ? -128 : 0)),
    divisors: frame.components.map((part) => quantisation.get(part.quantisation)),
    block: new Float64Array(64),
    coded: new Int32Array(64),
  };
}

/** Writes the block that was just read as far as it may be seen. */
function writeMasked(m: Masking, reader: BlockReader, component: number, unit: number, block: number): void {
  const { writer, visible } = m;
  const luma = component === 0 ? 0 : 1;
  const [dc, ac] = [typicalHuffman.dc[luma], typicalHuffman.ac[luma]];
  const state = visible.states[unit];
  const divisors = m.divisors[component];
  const nothing = m.nothing[component] ?? 0;
  const seen = state === 1 ? 'all' : state === 0 ? 'none' : visible.seen(component, unit, block);
  if (seen === 'all') return writer.block(component, reader, dc, ac);
  if (seen === 'none' || divisors === undefined)
    return writer.flat(component, -Math.ceil((-8 * nothing) / (divisors?.[0] ?? 1)), dc, ac);
  // Most edges run through plain black, which shows nothing as it is.
  const level = ((reader.level[component] as number) * (divisors[0] as number)) / 8;
  if (reader.count === 0 && Math.abs(level - nothing) <= 1) return writer.block(component, reader, dc, ac);
  readCoefficients(reader, component, divisors, m.block);
  inverse(m.block);
  // Blacker than black by about what rounding brings back, so that covered samples do not glimmer beside a bright edge.
  const below = nothing < 0 ? Math.min(mostBelow, 2 * ((divisors[0] as number) - 1)) : 0;
  for (let n = 0; n < 64; n += 1) if (seen[n] === 0) m.block[n] = nothing - below;
  forward(m.block);
  quantised(m.block, divisors, m.coded);
  writer.coefficients(component, m.coded, dc, ac);
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
