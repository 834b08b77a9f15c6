/**
 * Frame pack: the file a clip is played from. Little endian throughout.
 *
 * | bytes | what |
 * | --- | --- |
 * | 0-5 | the letters CHRDPK |
 * | 6-7 | u16 version, 1 |
 * | 8-11 | u32 number of frames |
 * | 12-15, 16-19 | u32 width, u32 height in pixels |
 * | 20-23 | u32 flags: bit 0 = the times are known |
 * | 24-31 | u64 length of the whole pack in bytes |
 * | 32… | index, 24 bytes a frame: u64 offset, u32 size, u8 encoding (1 JPEG, 2 PNG), 3 zero bytes, f64 time in ms |
 * | then | the frames, in order, each a complete JPEG or PNG file |
 *
 * The index comes first and has a fixed size, so a reader can start with any prefix of the file.
 */
export const packVersion = 1;
export const packHeadBytes = 32;
export const packIndexEntryBytes = 24;
/** More frames than any loop holds: a guard against a hostile head (10 min at 60 Hz is 36,000). */
export const packMostFrames = 100_000;

export type FrameEncoding = 'jpeg' | 'png';

export interface PackFrame {
  /** From the start of the pack. */
  readonly offset: number;
  readonly sizeBytes: number;
  /** ms from the first frame; null where the original does not say. */
  readonly timeMs: number | null;
  readonly encoding: FrameEncoding;
}

export interface PackIndex {
  readonly version: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly totalBytes: number;
  readonly frames: readonly PackFrame[];
}

export interface PackHead {
  readonly frameCount: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly timesKnown: boolean;
  readonly totalBytes: number;
  /** Head and index together: where the first frame starts. */
  readonly indexEnd: number;
}

export type PackProblem = 'PACK_NOT_A_PACK' | 'PACK_VERSION_UNKNOWN' | 'PACK_DAMAGED' | 'PACK_TRUNCATED';
export type PackRead<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly code: PackProblem };

const magic = [0x43, 0x48, 0x52, 0x44, 0x50, 0x4b];

function fail(code: PackProblem): { readonly ok: false; readonly code: PackProblem } {
  return { ok: false, code };
}

/** Size of head plus index for a number of frames, in bytes. `packIndexEnd(2)` is 80. */
export function packIndexEnd(frameCount: number): number {
  return packHeadBytes + packIndexEntryBytes * frameCount;
}

/** Writes head and index. The frames' offsets must follow one another from `packIndexEnd(n)` on. */
export function writePackIndex(index: PackIndex): Uint8Array {
  const bytes = new Uint8Array(packIndexEnd(index.frames.length));
  const view = new DataView(bytes.buffer);
  bytes.set(magic, 0);
  view.setUint16(6, index.version, true);
  view.setUint32(8, index.frames.length, true);
  view.setUint32(12, index.widthPx, true);
  view.setUint32(16, index.heightPx, true);
  view.setUint32(20, index.frames.every((frame) => frame.timeMs !== null) ? 1 : 0, true);
  view.setBigUint64(24, BigInt(index.totalBytes), true);
  index.frames.forEach((frame, number) => {
    const at = packHeadBytes + packIndexEntryBytes * number;
    view.setBigUint64(at, BigInt(frame.offset), true);
    view.setUint32(at + 8, frame.sizeBytes, true);
    view.setUint8(at + 12, frame.encoding === 'jpeg' ? 1 : 2);
    view.setFloat64(at + 16, frame.timeMs ?? 0, true);
  });
  return bytes;
}

/** Reads the first 32 bytes: enough to know how long the index is. */
export function readPackHead(bytes: Uint8Array): PackRead<PackHead> {
  if (bytes.length < packHeadBytes) return fail('PACK_TRUNCATED');
  if (magic.some((letter, at) => bytes[at] !== letter)) return fail('PACK_NOT_A_PACK');
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (view.getUint16(6, true) !== packVersion) return fail('PACK_VERSION_UNKNOWN');
  const frameCount = view.getUint32(8, true);
  if (frameCount < 1 || frameCount > packMostFrames) return fail('PACK_DAMAGED');
  const indexEnd = packIndexEnd(frameCount);
  const totalBytes = Number(view.getBigUint64(24, true));
  if (totalBytes < indexEnd || !Number.isSafeInteger(totalBytes)) return fail('PACK_DAMAGED');
  return {
    ok: true,
    value: {
      frameCount,
      widthPx: view.getUint32(12, true),
      heightPx: view.getUint32(16, true),
      timesKnown: (view.getUint32(20, true) & 1) === 1,
      totalBytes,
      indexEnd,
    },
  };
}

/** Reads head and index from a prefix of the pack that holds at least `indexEnd` bytes. Checks that the frames follow one another. */
export function readPackIndex(bytes: Uint8Array): PackRead<PackIndex> {
  const head = readPackHead(bytes);
  if (!head.ok) return head;
  const { frameCount, widthPx, heightPx, timesKnown, totalBytes, indexEnd } = head.value;
  if (bytes.length < indexEnd) return fail('PACK_TRUNCATED');
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const frames: PackFrame[] = [];
  let expected = indexEnd;
  for (let number = 0; number < frameCount; number += 1) {
    const at = packHeadBytes + packIndexEntryBytes * number;
    const offset = Number(view.getBigUint64(at, true));
    const sizeBytes = view.getUint32(at + 8, true);
    const code = view.getUint8(at + 12);
    const timeMs = view.getFloat64(at + 16, true);
    if (offset !== expected || sizeBytes === 0 || (code !== 1 && code !== 2) || !Number.isFinite(timeMs))
      return fail('PACK_DAMAGED');
    expected = offset + sizeBytes;
    frames.push({
      offset,
      sizeBytes,
      timeMs: timesKnown ? timeMs : null,
      encoding: code === 1 ? 'jpeg' : 'png',
    });
  }
  if (expected !== totalBytes) return fail('PACK_DAMAGED');
  return { ok: true, value: { version: packVersion, widthPx, heightPx, totalBytes, frames } };
}
