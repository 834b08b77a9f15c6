import { createHash } from 'node:crypto';
import { createReadStream, readSync } from 'node:fs';
import { open } from 'node:fs/promises';
import type { ByteSource } from '@chordae/dicom';

export interface FileSource extends ByteSource {
  close(): Promise<void>;
}

/** Up to here a read takes less time than waking a thread for it: it is made at once. */
const readAtOnceBytes = 1 << 20;

/** A file read by range; holds a handle, nothing else. For a process of its own: short reads do not yield. */
export async function openFileSource(path: string): Promise<FileSource> {
  const handle = await open(path, 'r');
  const { size } = await handle.stat();
  return {
    size,
    async read(offset, length) {
      const wanted = Math.max(0, Math.min(length, size - offset));
      // Not cleared: every byte that is handed on has been read.
      const bytes = new Uint8Array(Buffer.allocUnsafeSlow(wanted).buffer);
      let filled = 0;
      while (filled < wanted) {
        const bytesRead =
          wanted <= readAtOnceBytes
            ? readSync(handle.fd, bytes, filled, wanted - filled, offset + filled)
            : (await handle.read(bytes, filled, wanted - filled, offset + filled)).bytesRead;
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
