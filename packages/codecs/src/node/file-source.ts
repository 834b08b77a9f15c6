import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { open } from 'node:fs/promises';
import type { ByteSource } from '@chordae/dicom';

export interface FileSource extends ByteSource {
  close(): Promise<void>;
}

/** A file read by range; holds a handle, nothing else. */
export async function openFileSource(path: string): Promise<FileSource> {
  const handle = await open(path, 'r');
  const { size } = await handle.stat();
  return {
    size,
    async read(offset, length) {
      const wanted = Math.max(0, Math.min(length, size - offset));
      const bytes = new Uint8Array(wanted);
      let filled = 0;
      while (filled < wanted) {
        const { bytesRead } = await handle.read(bytes, filled, wanted - filled, offset + filled);
        if (bytesRead === 0) break;
        filled += bytesRead;
      }
      return bytes.subarray(0, filled);
    },
    close: () => handle.close(),
  };
}

/** SHA-256 of a file in hex, by streaming. */
export async function sha256OfFile(path: string): Promise<string> {
  const hash = createHash('sha256');
  for await (const piece of createReadStream(path, { highWaterMark: 1 << 20 })) hash.update(piece as Buffer);
  return hash.digest('hex');
}
