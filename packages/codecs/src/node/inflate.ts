import { inflateRawSync } from 'node:zlib';
import type { Inflate } from '@chordae/dicom';

/** Raw deflate by zlib, bounded: more output than `mostBytes` ends it. A missing end is let through only by zlib's own rules. */
export const inflate: Inflate = (bytes, mostBytes) => {
  try {
    const out = inflateRawSync(bytes, { maxOutputLength: mostBytes });
    return new Uint8Array(out.buffer, out.byteOffset, out.byteLength);
  } catch {
    return null;
  }
};
