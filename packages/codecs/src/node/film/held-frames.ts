import { closeSync, existsSync, fstatSync, openSync, readSync } from 'node:fs';
import type { FilmHead } from './film-decoder';
import { handedBytes } from './film-decoder';

/** Frames from the first on that lie unpacked on the disk. */
export interface HeldFrames {
  readonly count: number;
  /** As it was handed over, written into a frame's bytes of the caller's; null where it is not held. */
  frame(number: number, into?: Uint8Array): Uint8Array | null;
  close(): Promise<void>;
}

/** Frames in a file, one straight after the other; none where it was not written. */
export function openHeldFrames(path: string, head: FilmHead, removed: () => Promise<void>): HeldFrames {
  const descriptor = existsSync(path) ? openSync(path, 'r') : null;
  const bytes = handedBytes(head);
  const whole = descriptor === null ? 0 : Math.floor(fstatSync(descriptor).size / bytes);
  const count = Math.min(head.frameCount, whole);
  let open = descriptor !== null;
  return {
    count,
    frame(number, frame = new Uint8Array(bytes)) {
      if (descriptor === null || !open || number < 0 || number >= count) return null;
      let filled = 0;
      while (filled < bytes) {
        const got = readSync(descriptor, frame, filled, bytes - filled, number * bytes + filled);
        if (got === 0) return null;
        filled += got;
      }
      return frame;
    },
    async close() {
      if (open && descriptor !== null) closeSync(descriptor);
      open = false;
      await removed();
    },
  };
}
