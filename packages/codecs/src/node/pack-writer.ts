import { open, rename, rm } from 'node:fs/promises';
import type { FrameEncoding, PackFrame } from '../pack/frame-pack';
import { packIndexEnd, packVersion, writePackIndex } from '../pack/frame-pack';
import type { WrittenPack } from '../reading';
import { sha256OfFile } from './file-source';

/** More bytes were to be written than the limit allows. */
export class OutputTooLarge extends Error {}

export interface PackWriter {
  add(bytes: Uint8Array, encoding: FrameEncoding): Promise<void>;
  /** Writes the index, makes the file durable and gives it its name. */
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

/** Writes a pack frame by frame beside its place (`.part`); holds only the index. */
export async function openPackWriter(path: string, shape: PackShape, mostBytes: number): Promise<PackWriter> {
  const part = `${path}.part`;
  const handle = await open(part, 'w');
  const frames: PackFrame[] = [];
  let at = packIndexEnd(shape.frameCount);
  let unfinished = true;
  return {
    async add(bytes, encoding) {
      if (at + bytes.length > mostBytes) throw new OutputTooLarge();
      await handle.write(bytes, 0, bytes.length, at);
      frames.push({
        offset: at,
        sizeBytes: bytes.length,
        timeMs: shape.frameTimesMs?.[frames.length] ?? null,
        encoding,
      });
      at += bytes.length;
    },
    async finish() {
      if (frames.length !== shape.frameCount)
        throw new Error('pack writer: number of frames differs from the shape');
      const { widthPx, heightPx } = shape;
      const index = writePackIndex({ version: packVersion, widthPx, heightPx, totalBytes: at, frames });
      await handle.write(index, 0, index.length, 0);
      await handle.sync();
      await handle.close();
      unfinished = false;
      await rename(part, path);
      return { bytes: at, sha256: await sha256OfFile(path) };
    },
    async abandon() {
      if (!unfinished) return;
      unfinished = false;
      await handle.close();
      await rm(part, { force: true });
    },
  };
}
