import { rawBytes } from './attributes';
import type { DicomFile } from './describe';
import { nativeFrameBytes } from './describe';
import type { DicomHeader } from './header';
import type { ByteSource, Read } from './source';
import { refuse } from './source';
import { startsStream } from './stream-kind';

/** One piece of a frame in the file. */
export interface FramePiece {
  readonly offset: number;
  readonly length: number;
}

/** Where each frame lies: one or more pieces to be put one after the other. */
export interface FramePlaces {
  readonly frames: readonly (readonly FramePiece[])[];
  /** Encapsulated frames beyond the declared number; not shown. */
  readonly surplus: number;
  /** The file ends behind the last fragment without saying that it was the last. */
  readonly unended: boolean;
}

/** A guard against a file made of empty items; ours. */
const mostFragments = 200_000;

/** Finds the frames by offset, reading only item heads. Refuses FILE_TRUNCATED, FRAMES_MISSING {expected, found}, FRAMES_NOT_SEPARABLE. */
export async function locateFrames(file: DicomFile): Promise<Read<FramePlaces>> {
  const { header, layout } = file;
  const { source } = header;
  if (header.coding === 'native') {
    const length = nativeFrameBytes(layout);
    // Swapped pairs of an odd frame reach into the next one.
    const swapped = !header.littleEndian && header.pixelWords && layout.bytesPerSample === 1;
    if (swapped && length % 2 === 1 && layout.frameCount > 1) return refuse('FRAMES_NOT_SEPARABLE');
    const read = swapped ? length + (length % 2) : length;
    const frames = Array.from({ length: layout.frameCount }, (_, n) => [
      { offset: header.pixelOffset + n * length, length: read },
    ]);
    return { ok: true, value: { frames, surplus: 0, unended: false } };
  }
  const walked = await walkItems(source, header.pixelOffset);
  if (!walked.ok) return walked;
  const { fragments } = walked.value;
  const table = walked.value.table.length > 0 ? walked.value.table : extendedTable(header);
  if (header.coding === 'video')
    return { ok: true, value: { frames: [fragments], surplus: 0, unended: walked.value.unended } };
  const segments = header.coding === 'rle' ? layout.samples * layout.bytesPerSample : null;
  const frames = await group(source, table, fragments, layout.frameCount, segments);
  if (frames === null) return refuse('FRAMES_NOT_SEPARABLE');
  if (frames.length < layout.frameCount)
    return refuse('FRAMES_MISSING', { expected: layout.frameCount, found: frames.length });
  return {
    ok: true,
    value: {
      frames: frames.slice(0, layout.frameCount),
      surplus: frames.length - layout.frameCount,
      unended: walked.value.unended,
    },
  };
}

interface Items {
  readonly table: number[];
  readonly fragments: FramePiece[];
  readonly unended: boolean;
}

/** Extended Offset Table (7FE0,0001): 64-bit offsets, counted as in the basic one. */
function extendedTable({ dataSet }: DicomHeader): number[] {
  const bytes = rawBytes(dataSet, 'x7fe00001');
  if (bytes === null) return [];
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const count = Math.min(bytes.length >> 3, mostFragments);
  return Array.from({ length: count }, (_, n) => Number(view.getBigUint64(8 * n, true)));
}

/** Walks the items of encapsulated Pixel Data (PS3.5 A.4): the basic offset table first, then the fragments. */
async function walkItems(source: ByteSource, start: number): Promise<Read<Items>> {
  let at = start;
  let table: number[] | null = null;
  const fragments: FramePiece[] = [];
  for (;;) {
    const head = await source.read(at, 8);
    if (head.length === 0 && fragments.length > 0)
      return { ok: true, value: { table: table ?? [], fragments, unended: true } };
    if (head.length < 8) return refuse('FILE_TRUNCATED');
    const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
    const tag = view.getUint32(0, true);
    const length = view.getUint32(4, true);
    if (tag === 0xe0ddfffe) break;
    if (tag !== 0xe000fffe || length === 0xffffffff) return refuse('DICOM_DAMAGED');
    if (at + 8 + length > source.size) return refuse('FILE_TRUNCATED');
    if (table === null) {
      const read = await source.read(at + 8, Math.min(length, 4 * mostFragments));
      const words = new DataView(read.buffer, read.byteOffset, read.byteLength);
      table = Array.from({ length: read.length >> 2 }, (_, n) => words.getUint32(4 * n, true));
    } else fragments.push({ offset: at + 8, length });
    if (fragments.length > mostFragments) return refuse('FRAMES_TOO_MANY', { frames: fragments.length });
    at += 8 + length;
  }
  return { ok: true, value: { table: table ?? [], fragments, unended: false } };
}

async function group(
  source: ByteSource,
  table: readonly number[],
  fragments: readonly FramePiece[],
  frameCount: number,
  rleSegments: number | null,
): Promise<FramePiece[][] | null> {
  const first = fragments[0];
  if (first === undefined) return [];
  if (frameCount === 1) return [[...fragments]];
  if (fragments.length === frameCount) return fragments.map((piece) => [piece]);
  // The table counts from the first byte of the first fragment's item head.
  const starts = new Set(table.map((offset) => offset + first.offset));
  const fits = table.length === frameCount && starts.size === frameCount && starts.has(first.offset);
  if (fits && fragments.filter((piece) => starts.has(piece.offset)).length === frameCount)
    return splitAt(fragments, (piece) => Promise.resolve(starts.has(piece.offset)));
  return splitAt(fragments, async (piece) => {
    const bytes = await source.read(piece.offset, 12);
    return rleSegments === null ? startsStream(bytes) : startsRle(bytes, rleSegments);
  });
}

/** An RLE frame begins with its number of segments and, always, the offset 64. */
function startsRle(bytes: Uint8Array, segments: number): boolean {
  if (bytes.length < 8) return false;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return view.getUint32(0, true) === segments && view.getUint32(4, true) === 64;
}

async function splitAt(
  fragments: readonly FramePiece[],
  isStart: (piece: FramePiece) => Promise<boolean>,
): Promise<FramePiece[][] | null> {
  const frames: FramePiece[][] = [];
  for (const piece of fragments) {
    if (await isStart(piece)) frames.push([piece]);
    else if (frames.length === 0) return null;
    else frames.at(-1)?.push(piece);
  }
  return frames;
}

/** The coded bytes of one frame. */
export async function readFrame(
  source: ByteSource,
  pieces: readonly FramePiece[],
): Promise<Read<Uint8Array>> {
  const only = pieces[0];
  if (pieces.length === 1 && only !== undefined) {
    const bytes = await source.read(only.offset, only.length);
    return bytes.length < only.length ? refuse('FILE_TRUNCATED') : { ok: true, value: bytes };
  }
  const out = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    const bytes = await source.read(piece.offset, piece.length);
    if (bytes.length < piece.length) return refuse('FILE_TRUNCATED');
    out.set(bytes, at);
    at += piece.length;
  }
  return { ok: true, value: out };
}
