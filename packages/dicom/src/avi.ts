import { buffered } from './buffered';
import type { FramePiece } from './frames';
import type { ByteSource, Read } from './source';
import { refuse } from './source';

/** How the frames of an AVI file lie: JPEG streams, rows of pixels, or something that a film decoder has to read. */
export type AviCoding = 'mjpeg' | 'raw' | 'other';

export interface AviFile {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly coding: AviCoding;
  /** Four letters as written, or a number. */
  readonly codec: string;
  readonly bitsPerPixel: number;
  /** Rows from the top; in most files they come from the bottom. */
  readonly topDown: boolean;
  /** Blue, green, red, nothing, for each index; empty above 8 bits. */
  readonly palette: Uint8Array;
  readonly stepMs: number;
  /** One for each frame that shows something new; what only repeats the frame before is left out (`repeated`). */
  readonly frames: readonly FramePiece[];
  /** When each of them begins, counted in steps from the first. */
  readonly starts: readonly number[];
  /** Frames left out: empty chunks, and chunks that hold the very bytes of the one before. */
  readonly repeated: number;
}

const mostFrames = 20_000;
const mostChunks = 400_000;
const widestPx = 8192;
const jpegCodecs = new Set(['mjpg', 'jpeg', 'dmb1', 'avrn', 'ljpg']);

interface Chunk {
  readonly id: string;
  readonly at: number;
  readonly size: number;
}

interface VideoFormat {
  widthPx: number;
  heightPx: number;
  topDown: boolean;
  bitsPerPixel: number;
  codec: string;
  palette: Uint8Array;
}

interface Found {
  format: VideoFormat | null;
  /** Number of the video stream as its chunks are named: '00', '01'. */
  stream: string;
  streams: number;
  stepMs: number;
  declared: number;
  frames: FramePiece[];
  starts: number[];
  /** Frames of the stream, empty ones too. */
  steps: number;
  chunks: number;
  cut: boolean;
}

/**
 * Reads the structure of a RIFF AVI file (Microsoft AVI 1.0, OpenDML 1.02 for files of several RIFF parts): the first
 * video stream and where its frames lie. The index is not used: writers get it wrong, the chunks themselves are walked.
 * Refuses FILE_TRUNCATED, FILM_DAMAGED, FILM_WITHOUT_PICTURE, FRAMES_TOO_MANY, PICTURE_TOO_LARGE.
 */
export async function readAvi(file: ByteSource): Promise<Read<AviFile>> {
  const source = buffered(file);
  const found: Found = {
    format: null,
    stream: '',
    streams: 0,
    stepMs: 0,
    declared: 0,
    frames: [],
    starts: [],
    steps: 0,
    chunks: 0,
    cut: false,
  };
  for (let at = 0; at + 12 <= file.size; ) {
    const chunk = await chunkAt(source, at);
    if (chunk.id !== 'RIFF') break;
    const end = Math.min(file.size, chunk.at + chunk.size);
    if (chunk.at + chunk.size > file.size) found.cut = true;
    await walk(source, chunk.at + 4, end, found, 0);
    if (found.frames.length > mostFrames) return refuse('FRAMES_TOO_MANY', { frames: found.frames.length });
    if (found.chunks > mostChunks) return refuse('FILM_DAMAGED');
    at = chunk.at + chunk.size + (chunk.size % 2);
  }
  const read = checked(found);
  return read.ok ? { ok: true, value: await withoutRepeats(file, read.value) } : read;
}

function checked(found: Found): Read<AviFile> {
  const { format, frames, stepMs } = found;
  // Streams, but none of pictures: sound only. A stream of pictures without a size, or no stream at all: damaged.
  if (found.streams > 0 && found.stream === '') return refuse('FILM_WITHOUT_PICTURE');
  if (format === null || format.widthPx === 0 || format.heightPx === 0) return refuse('FILM_DAMAGED');
  const { widthPx, heightPx } = format;
  if (widthPx > widestPx || heightPx > widestPx) return refuse('PICTURE_TOO_LARGE', { widthPx, heightPx });
  if (found.cut && (frames.length === 0 || found.steps < found.declared)) return refuse('FILE_TRUNCATED');
  if (frames.length === 0) return refuse(found.declared === 0 ? 'FILM_WITHOUT_PICTURE' : 'FILM_DAMAGED');
  if (!Number.isFinite(stepMs) || stepMs < 1 || stepMs > 5000) return refuse('FILM_DAMAGED');
  const raw = /^(0|RAW |DIB )$/i.test(format.codec) && [8, 24, 32].includes(format.bitsPerPixel);
  const coding = jpegCodecs.has(format.codec.toLowerCase()) ? 'mjpeg' : raw ? 'raw' : 'other';
  return {
    ok: true,
    value: { ...format, coding, stepMs, frames, starts: found.starts, repeated: found.steps - frames.length },
  };
}

function letters(bytes: Uint8Array, at: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + 4));
}

async function chunkAt(source: ByteSource, at: number): Promise<Chunk> {
  const head = await source.read(at, 8);
  if (head.length < 8) return { id: '', at, size: 0 };
  const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
  return { id: letters(head, 0), at: at + 8, size: view.getUint32(4, true) };
}

async function walk(
  source: ByteSource,
  start: number,
  end: number,
  found: Found,
  depth: number,
): Promise<void> {
  for (let at = start; at + 8 <= end; ) {
    found.chunks += 1;
    if (found.chunks > mostChunks || found.frames.length > mostFrames) return;
    const chunk = await chunkAt(source, at);
    if (chunk.id === 'LIST' && depth < 4) {
      const listEnd = chunk.at + chunk.size;
      await walk(source, chunk.at + 4, Math.min(end, listEnd), found, depth + 1);
    } else if (chunk.id === 'strh') await readStreamHead(source, chunk, found);
    else if (chunk.id === 'strf') await readFormat(source, chunk, found);
    else if (/^\d\d(dc|db)$/i.test(chunk.id) && chunk.id.startsWith(found.stream || '?'))
      addFrame(chunk, end, found);
    at = chunk.at + chunk.size + (chunk.size % 2);
  }
}

function addFrame(chunk: Chunk, end: number, found: Found): void {
  // Before the first picture there is nothing to stay.
  if (chunk.size === 0 && found.frames.length === 0) return;
  if (chunk.at + chunk.size > end) {
    found.cut = true;
    return;
  }
  if (chunk.size > 0) {
    found.frames.push({ offset: chunk.at, length: chunk.size });
    found.starts.push(found.steps);
  }
  found.steps += 1;
}

/** Leaves out frames that hold the very bytes of the one before: a screen was saved at a higher rate than it changed. */
async function withoutRepeats(source: ByteSource, avi: AviFile): Promise<AviFile> {
  const kept: number[] = [];
  for (const [n, piece] of avi.frames.entries()) {
    const before = avi.frames[n - 1];
    if (before === undefined || !(await sameBytes(source, before, piece))) kept.push(n);
  }
  if (kept.length === avi.frames.length) return avi;
  return {
    ...avi,
    frames: kept.map((n) => avi.frames[n] as FramePiece),
    starts: kept.map((n) => avi.starts[n] as number),
    repeated: avi.repeated + avi.frames.length - kept.length,
  };
}

const comparedBytes = 65_536;

async function sameBytes(source: ByteSource, a: FramePiece, b: FramePiece): Promise<boolean> {
  if (a.length !== b.length) return false;
  // A little of the middle first: nearly always it tells them apart.
  const middle = a.length >> 1;
  if (!(await sameRange(source, a.offset + middle, b.offset + middle, Math.min(2048, a.length - middle))))
    return false;
  for (let at = 0; at < a.length; at += comparedBytes) {
    const length = Math.min(comparedBytes, a.length - at);
    if (!(await sameRange(source, a.offset + at, b.offset + at, length))) return false;
  }
  return true;
}

async function sameRange(source: ByteSource, a: number, b: number, length: number): Promise<boolean> {
  const one = await source.read(a, length);
  const other = await source.read(b, length);
  return one.length === other.length && one.every((value, n) => value === other[n]);
}

async function readStreamHead(source: ByteSource, chunk: Chunk, found: Found): Promise<void> {
  const number = String(found.streams).padStart(2, '0');
  found.streams += 1;
  const head = await source.read(chunk.at, Math.min(chunk.size, 56));
  if (head.length < 48 || letters(head, 0) !== 'vids' || found.stream !== '') return;
  const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
  found.stream = number;
  found.stepMs = (1000 * view.getUint32(20, true)) / view.getUint32(24, true);
  found.declared = view.getUint32(32, true);
}

/** BITMAPINFOHEADER of the video stream and its palette. */
async function readFormat(source: ByteSource, chunk: Chunk, found: Found): Promise<void> {
  const isVideo = found.stream !== '' && Number(found.stream) === found.streams - 1;
  if (!isVideo || found.format !== null) return;
  const head = await source.read(chunk.at, Math.min(chunk.size, 40 + 1024));
  if (head.length < 40) return;
  const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
  const rows = view.getInt32(8, true);
  const code = view.getUint32(16, true);
  const bitsPerPixel = view.getUint16(14, true);
  found.format = {
    widthPx: Math.max(0, view.getInt32(4, true)),
    heightPx: Math.abs(rows),
    topDown: rows < 0,
    bitsPerPixel,
    codec: code < 256 ? String(code) : letters(head, 16),
    palette: bitsPerPixel <= 8 ? new Uint8Array(head.subarray(40)) : new Uint8Array(),
  };
}

/** Pixels of one raw frame, RGB, from the top; null when the chunk is too short. Rows are padded to four bytes. */
export function rawAviPixels(bytes: Uint8Array, avi: AviFile): Uint8Array | null {
  const { widthPx, heightPx, bitsPerPixel, topDown, palette } = avi;
  const width = bitsPerPixel >> 3;
  const rowBytes = (widthPx * width + 3) & ~3;
  if (bytes.length < rowBytes * heightPx) return null;
  const out = new Uint8Array(3 * widthPx * heightPx);
  for (let y = 0; y < heightPx; y += 1) {
    let from = (topDown ? y : heightPx - 1 - y) * rowBytes;
    let to = 3 * y * widthPx;
    for (let x = 0; x < widthPx; x += 1, from += width, to += 3) {
      const entry = width === 1 ? 4 * (bytes[from] ?? 0) : from;
      const table = width === 1 ? palette : bytes;
      out[to] = table[entry + 2] ?? 0;
      out[to + 1] = table[entry + 1] ?? 0;
      out[to + 2] = table[entry] ?? 0;
    }
  }
  return out;
}
