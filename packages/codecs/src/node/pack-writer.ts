import { createHash } from 'node:crypto';
import type { FileHandle } from 'node:fs/promises';
import { open, rename, rm } from 'node:fs/promises';
import type { FrameEncoding, PackFrame } from '../pack/frame-pack';
import { packIndexEnd, packVersion, writePackIndex } from '../pack/frame-pack';
import type { WrittenPack } from '../reading';
import { sha256OfFile } from './file-source';

/** More bytes were to be written than the limit allows. */
export class OutputTooLarge extends Error {}

export interface PackWriter {
  add(bytes: Uint8Array, encoding: FrameEncoding): Promise<void>;
  /** All frames are added: writes the index and makes the file durable. */
  durable(): Promise<void>;
  /** Does so unless it was done, and gives the file its name. */
  finish(): Promise<WrittenPack>;
  /** Throws the unfinished file away; does nothing after `finish`. */
  abandon(): Promise<void>;
}

export interface PackShape {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly frameTimesMs: readonly number[] | null;
  readonly frameCount: number;
}

/** Packs up to this size are written, and hashed, in one piece; larger ones frame by frame. */
const heldMostBytes = 16e6;

/** Writes a pack beside its place (`.part`); holds only the index and, until they are written, up to 16 MB of frames. */
export async function openPackWriter(path: string, shape: PackShape, mostBytes: number): Promise<PackWriter> {
  const part = `${path}.part`;
  const handle = await open(part, 'w');
  const frames: PackFrame[] = [];
  let held: Uint8Array[] | null = [];
  let at = packIndexEnd(shape.frameCount);
  let unfinished = true;
  let early: string | null = null;
  let written: Promise<void> | null = null;
  const durable = async (): Promise<void> => {
    if (written !== null) return written;
    if (frames.length !== shape.frameCount)
      throw new Error('pack writer: number of frames differs from the shape');
    const { widthPx, heightPx } = shape;
    const index = writePackIndex({ version: packVersion, widthPx, heightPx, totalBytes: at, frames });
    const pieces = [index, ...(held ?? [])];
    written = writeAll(handle, pieces, 0).then(() => handle.datasync());
    // The hash is made while the disk works: of what was handed over, or of the file where that was too much.
    if (held !== null) early = sha256Of(pieces);
    held = null;
    return written;
  };
  return {
    async add(bytes, encoding) {
      if (at + bytes.length > mostBytes) throw new OutputTooLarge();
      if (held !== null && at + bytes.length > heldMostBytes) {
        await writeAll(handle, held, packIndexEnd(shape.frameCount));
        held = null;
      }
      if (held === null) await writeAll(handle, [bytes], at);
      else held.push(bytes);
      frames.push({
        offset: at,
        sizeBytes: bytes.length,
        timeMs: shape.frameTimesMs?.[frames.length] ?? null,
        encoding,
      });
      at += bytes.length;
    },
    durable,
    async finish() {
      await durable();
      await handle.close();
      unfinished = false;
      await rename(part, path);
      return { bytes: at, sha256: early ?? (await sha256OfFile(path)) };
    },
    async abandon() {
      if (!unfinished) return;
      unfinished = false;
      await handle.close();
      await rm(part, { force: true });
    },
  };
}

/** Writes pieces one behind the other, however many of their bytes the system takes at a time. */
async function writeAll(handle: FileHandle, pieces: readonly Uint8Array[], from: number): Promise<void> {
  const left = pieces.filter((piece) => piece.length > 0);
  let at = from;
  let next = 0;
  while (next < left.length) {
    // 1,024 is the most that one call of POSIX takes (IOV_MAX).
    let { bytesWritten } = await handle.writev(left.slice(next, next + 1024), at);
    if (bytesWritten === 0) throw new Error('pack writer: nothing could be written');
    at += bytesWritten;
    for (let piece = left[next]; piece !== undefined && bytesWritten >= piece.length; piece = left[next]) {
      bytesWritten -= piece.length;
      next += 1;
    }
    const begun = left[next];
    if (bytesWritten > 0 && begun !== undefined) left[next] = begun.subarray(bytesWritten);
  }
}

function sha256Of(pieces: readonly Uint8Array[]): string {
  const hash = createHash('sha256');
  for (const piece of pieces) hash.update(piece);
  return hash.digest('hex');
}
