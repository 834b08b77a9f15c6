import type { Box } from '@chordae/contract';
import { BlockReader, BlockWriter } from './jpeg-entropy';
import type { JpegComponent, JpegFrame } from './jpeg-heads';
import { readJpegHeads } from './jpeg-heads';
import { typicalHuffman } from './jpeg-huffman';

/** Bytes read ahead of the end; more were never there. */
const mostInvented = 4;

/**
 * Blackens a baseline JPEG outside the boxes without decoding it to pixels: coefficients of blocks wholly inside stay as
 * they are, so their pixels are those of the file bit for bit; all other blocks (units of 8 or 16 pixels) become black
 * whole, so nothing outside can be seen through. A decoder that smooths halved chroma may tint the one pixel next to a
 * black block. Nothing is written but the picture: no comments, no application data beyond what names the colour space.
 * null when the stream is not sequential, baseline, 8 bits, in one scan, or is damaged: then it has to be coded anew.
 */
export function maskJpegBlocks(bytes: Uint8Array, boxes: readonly Box[]): Uint8Array | null {
  const read = readJpegHeads(bytes);
  if (read === null || read.frame.precision !== 8) return null;
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
    colour.isRgb || n === 0 ? -Math.ceil(1024 / (quantisation.get(part.quantisation)?.[0] ?? 1)) : 0,
  );
  const reader = new BlockReader(bytes, scanAt);
  const writer = new BlockWriter();
  const units = unitsAcross * unitsDown;
  for (let unit = 0; unit < units; unit += 1) {
    // Data that have ended give zeros without end: a size that they cannot fill must not keep us busy.
    if (reader.invented > mostInvented) return null;
    if (restartInterval > 0 && unit > 0 && unit % restartInterval === 0 && !reader.restart()) return null;
    for (let n = 0; n < frame.components.length; n += 1) {
      const part = frame.components[n] as JpegComponent;
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
  { widthPx, heightPx }: JpegFrame,
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
