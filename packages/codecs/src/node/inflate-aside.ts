import { open, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createInflateRaw } from 'node:zlib';
import type { ByteSource } from '@chordae/dicom';
import type { FileSource } from './file-source';
import { openFileSource } from './file-source';

/** What a deflated file may inflate to; ours, as large as the largest file that is taken. */
const mostInflated = 4_294_967_296;
/** Pictures deflate to a tenth or so; what grows a hundredfold is made to fill the disk. */
const mostGrowth = 100;
const pieceBytes = 1 << 20;
let made = 0;

/** What was inflated aside, to be closed when the original is. */
export class InflatedFiles {
  private readonly sources: FileSource[] = [];

  /** Inflates from an offset on into a file of its own, piece by piece; null when damaged or larger than is taken. */
  readonly inflate = async (file: ByteSource, from: number): Promise<ByteSource | null> => {
    const place = path.join(tmpdir(), `chordae-inflated-${process.pid}-${(made += 1)}`);
    try {
      await pipeline(Readable.from(pieces(file, from)), createInflateRaw(), (inflated) =>
        write(place, inflated, Math.min(mostInflated, mostGrowth * (file.size - from))),
      );
      const source = await openFileSource(place);
      this.sources.push(source);
      return source;
    } catch (error) {
      // A full disk is no damage of the file.
      if ((error as NodeJS.ErrnoException).code === 'ENOSPC') throw error;
      return null;
    } finally {
      // It stays readable by its handle; where the system does not allow that, the folder is emptied later.
      await rm(place, { force: true }).catch(() => undefined);
    }
  };

  async close(): Promise<void> {
    for (const source of this.sources.splice(0)) await source.close();
  }
}

async function* pieces(file: ByteSource, from: number): AsyncGenerator<Uint8Array> {
  for (let at = from; at < file.size; at += pieceBytes)
    yield await file.read(at, Math.min(pieceBytes, file.size - at));
}

async function write(place: string, inflated: AsyncIterable<Uint8Array>, most: number): Promise<void> {
  const handle = await open(place, 'wx', 0o600);
  let bytes = 0;
  try {
    for await (const piece of inflated) {
      bytes += piece.length;
      if (bytes > most) throw new Error('inflates to more than is taken');
      await handle.writeFile(piece);
    }
  } finally {
    await handle.close();
  }
}
