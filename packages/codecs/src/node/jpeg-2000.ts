import type { CodedSamples, Read } from '@chordae/dicom';
import { refuse } from '@chordae/dicom';
import { unpackJpeg2000 } from './jpeg-2000-threads';

export interface Jpeg2000Head {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly components: number;
  readonly precision: number;
  readonly signed: boolean;
}

/** Size, components and depth from the SIZ segment (ITU-T T.800 A.5.1), also behind the boxes of a JP2 file; null when there is none. */
export function readJpeg2000Head(bytes: Uint8Array): Jpeg2000Head | null {
  const at = findCodestream(bytes);
  if (at === null || at + 43 > bytes.length) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset + at, bytes.byteLength - at);
  const components = view.getUint16(40);
  if (components < 1 || 42 + 3 * components > view.byteLength) return null;
  const depths = new Set(Array.from({ length: components }, (_, n) => view.getUint8(42 + 3 * n)));
  const depth = [...depths][0] ?? 0;
  // Mixed depths are not for pictures that people look at.
  if (depths.size !== 1) return null;
  return {
    widthPx: view.getUint32(8) - view.getUint32(16),
    heightPx: view.getUint32(12) - view.getUint32(20),
    components,
    precision: (depth & 127) + 1,
    signed: depth >= 128,
  };
}

function findCodestream(bytes: Uint8Array): number | null {
  for (let at = 0; at + 4 <= Math.min(bytes.length, 4096); at += 1)
    if (bytes[at] === 0xff && bytes[at + 1] === 0x4f && bytes[at + 2] === 0xff && bytes[at + 3] === 0x51)
      return at;
  return null;
}

/**
 * Decodes JPEG 2000 and HTJ2K (ITU-T T.800, T.814) of 8 bits; the codec itself undoes its colour transform (RCT, ICT).
 * Refuses FRAME_DAMAGED, also when it is of another size than wanted, and PIXEL_DEPTH_NOT_YET_READ {bits}.
 */
export async function decodeJpeg2000(
  bytes: Uint8Array,
  wanted: { readonly widthPx: number; readonly heightPx: number },
): Promise<Read<CodedSamples>> {
  const head = readJpeg2000Head(bytes);
  if (head === null || head.widthPx !== wanted.widthPx || head.heightPx !== wanted.heightPx)
    return refuse('FRAME_DAMAGED');
  // The decoder gives eight bits: of deeper ones the lowest would be lost before a window could choose.
  if (head.precision !== 8 || head.signed)
    return refuse('PIXEL_DEPTH_NOT_YET_READ', { bits: head.precision });
  if (head.components !== 1 && head.components !== 3) return refuse('FRAME_DAMAGED');
  const out = await unpackJpeg2000(bytes, head.components);
  return out === null || out.length !== head.widthPx * head.heightPx * head.components
    ? refuse('FRAME_DAMAGED')
    : { ok: true, value: { ...head, samples: out } };
}
