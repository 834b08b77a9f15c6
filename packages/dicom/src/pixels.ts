import { interleave, rgbFromYbr422, rgbFromYbrFull } from './colour';
import type { PixelLayout } from './describe';
import { nativeFrameBytes } from './describe';
import type { Palette } from './palette';
import { decodeRle } from './rle';
import type { Read } from './source';
import { refuse } from './source';

/** Pixels of one frame, 8 bits a sample, grey (1) or RGB (3), row by row. */
export interface Picture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly channels: 1 | 3;
  readonly pixels: Uint8Array;
}

/** Decodes a native or RLE frame. Refuses FRAME_DAMAGED when it does not give exactly the pixels that the header promises. */
export function decodePixels(
  bytes: Uint8Array,
  layout: PixelLayout,
  coding: 'native' | 'rle',
): Read<Picture> {
  const count = layout.widthPx * layout.heightPx;
  const samples = coding === 'rle' ? fromRle(bytes, layout, count) : fromNative(bytes, layout, count);
  if (samples === null) return refuse('FRAME_DAMAGED');
  const channels = layout.photometric.startsWith('MONOCHROME') ? 1 : 3;
  const pixels = toDisplay(samples, layout);
  return { ok: true, value: { widthPx: layout.widthPx, heightPx: layout.heightPx, channels, pixels } };
}

/** Samples pixel by pixel: one byte each, or 16-bit indexes. 422 is already turned into RGB. */
type Samples = Uint8Array | Uint16Array;

function fromNative(bytes: Uint8Array, layout: PixelLayout, count: number): Samples | null {
  if (bytes.length < nativeFrameBytes(layout)) return null;
  if (layout.photometric === 'YBR_FULL_422') return rgbFromYbr422(bytes, count);
  if (layout.bytesPerSample === 2)
    return Uint16Array.from(
      { length: count },
      (_, n) => (bytes[2 * n] ?? 0) | ((bytes[2 * n + 1] ?? 0) << 8),
    );
  if (layout.samples === 1) return bytes.slice(0, count);
  if (!layout.planar) return bytes.slice(0, 3 * count);
  return interleave([
    bytes.subarray(0, count),
    bytes.subarray(count, 2 * count),
    bytes.subarray(2 * count, 3 * count),
  ]);
}

function fromRle(bytes: Uint8Array, layout: PixelLayout, count: number): Samples | null {
  const planes = decodeRle(bytes, layout.samples * layout.bytesPerSample, count);
  const [first, second] = planes ?? [];
  if (planes === null || first === undefined) return null;
  if (layout.samples === 3) return interleave(planes);
  if (layout.bytesPerSample === 1) return first;
  return Uint16Array.from(first, (high, n) => (high << 8) | (second?.[n] ?? 0));
}

function toDisplay(samples: Samples, layout: PixelLayout): Uint8Array {
  if (layout.palette !== null) return throughPalette(samples, layout.palette);
  const bytes = samples instanceof Uint8Array ? samples : Uint8Array.from(samples);
  if (layout.photometric === 'MONOCHROME1') return bytes.map((value) => 255 - value);
  // RLE of a 422 picture cannot be: PS3.5 8.2.2 lets RLE code YBR_FULL only, so three full planes are YBR_FULL.
  if (layout.photometric === 'YBR_FULL') return rgbFromYbrFull(bytes);
  return bytes;
}

function throughPalette(samples: Samples, palette: Palette): Uint8Array {
  const [red, green, blue] = palette.tables;
  const out = new Uint8Array(3 * samples.length);
  const last = red.length - 1;
  for (let n = 0; n < samples.length; n += 1) {
    // Values below the first entry take the first, above the last the last (PS3.3 C.7.6.3.1.5).
    const entry = Math.min(last, Math.max(0, (samples[n] ?? 0) - palette.first));
    out[3 * n] = red[entry] ?? 0;
    out[3 * n + 1] = green[entry] ?? 0;
    out[3 * n + 2] = blue[entry] ?? 0;
  }
  return out;
}
