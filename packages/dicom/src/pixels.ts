import { swapPairs } from './byte-order';
import type { CodedSamples } from './coded-samples';
import { interleave, rgbFromYbr422, rgbFromYbrFull } from './colour';
import type { DicomFile, PixelLayout } from './describe';
import { nativeFrameBytes } from './describe';
import type { DicomHeader } from './header';
import { decodeJpeg12 } from './jpeg-deep';
import { decodeJpegLossless } from './jpeg-lossless';
import { decodeJpegLs } from './jpeg-ls';
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
export function decodePixels(bytes: Uint8Array, file: Pick<DicomFile, 'layout' | 'header'>): Read<Picture> {
  const { layout, header } = file;
  const count = layout.widthPx * layout.heightPx;
  const samples =
    header.coding === 'rle' ? fromRle(bytes, layout, count) : fromNative(bytes, layout, count, header);
  return samples === null ? refuse('FRAME_DAMAGED') : { ok: true, value: shown(samples, layout) };
}

/** Kinds of stream that this package decodes itself. */
const ownKinds = {
  'jpeg-lossless': decodeJpegLossless,
  'jpeg-ls': decodeJpegLs,
  'jpeg-12': decodeJpeg12,
} as const;
export type OwnStreamKind = keyof typeof ownKinds;

export function isOwnStreamKind(kind: string): kind is OwnStreamKind {
  return kind in ownKinds;
}

/** Decodes a frame of such a kind. Refuses FRAME_DAMAGED likewise. */
export function decodeStream(bytes: Uint8Array, kind: OwnStreamKind, layout: PixelLayout): Read<Picture> {
  const coded = ownKinds[kind](bytes, layout);
  return coded === null ? refuse('FRAME_DAMAGED') : pictureOf(coded, layout);
}

/** Samples of a stream to what is shown, by the file's own colour. Refuses FRAME_DAMAGED when they are not those promised. */
export function pictureOf(coded: CodedSamples, layout: PixelLayout): Read<Picture> {
  const sameSize = coded.widthPx === layout.widthPx && coded.heightPx === layout.heightPx;
  if (!sameSize || coded.components !== layout.samples) return refuse('FRAME_DAMAGED');
  const colour = layout.photometric === 'YBR_FULL_422' ? 'YBR_FULL' : layout.photometric;
  const single = coded.components === 1;
  // A grey value or an index has its meaning by the header's bits; a colour sample is brought from its own to 8.
  const own = {
    ...layout,
    photometric: colour,
    bitsStored: single ? layout.bitsStored : coded.precision,
  } as const;
  if (single && coded.precision > layout.bitsStored && !fitBits(coded, layout))
    return refuse('PIXEL_DEPTH_CONTRADICTS', { bits: layout.bitsStored, found: coded.precision });
  return { ok: true, value: shown(coded.samples, own) };
}

/** Whether samples of a deeper stream lie within the bits that the header gives them, as those of writers that only code wider do. */
function fitBits({ samples, precision }: CodedSamples, { bitsStored, signed }: PixelLayout): boolean {
  const [most, above] = [2 ** bitsStored, 2 ** precision];
  // A negative value has all bits above its sign set.
  return samples.every((value) => value < most || (signed && value >= above - most / 2));
}

function shown(samples: Samples, layout: PixelLayout): Picture {
  const { widthPx, heightPx } = layout;
  const channels = layout.photometric.startsWith('MONOCHROME') ? 1 : 3;
  return { widthPx, heightPx, channels, pixels: toDisplay(samples, layout) };
}

/** Samples pixel by pixel: one byte each, or 16-bit indexes. 422 is already turned into RGB. */
type Samples = Uint8Array | Uint16Array;

function fromNative(
  bytes: Uint8Array,
  layout: PixelLayout,
  count: number,
  { littleEndian, pixelWords }: DicomHeader,
): Samples | null {
  if (bytes.length < nativeFrameBytes(layout)) return null;
  if (layout.bytesPerSample === 2) {
    const [low, high] = littleEndian ? [0, 1] : [1, 0];
    const words = Uint16Array.from(
      { length: count * layout.samples },
      (_, n) => (bytes[2 * n + low] ?? 0) | ((bytes[2 * n + high] ?? 0) << 8),
    );
    if (layout.lowBit > 0) return words.map((word) => word >> layout.lowBit);
    return layout.samples === 3 && layout.planar ? interleave16(words, count) : words;
  }
  const plain = littleEndian || !pixelWords ? bytes : swapPairs(bytes);
  if (layout.photometric === 'YBR_FULL_422') return rgbFromYbr422(plain, count);
  if (layout.samples === 1) return plain.slice(0, count);
  if (!layout.planar) return plain.slice(0, 3 * count);
  return interleave([
    plain.subarray(0, count),
    plain.subarray(count, 2 * count),
    plain.subarray(2 * count, 3 * count),
  ]);
}

function interleave16(words: Uint16Array, count: number): Uint16Array {
  return Uint16Array.from({ length: 3 * count }, (_, n) => words[(n % 3) * count + Math.floor(n / 3)] ?? 0);
}

function fromRle(bytes: Uint8Array, layout: PixelLayout, count: number): Samples | null {
  const planes = decodeRle(bytes, layout.samples * layout.bytesPerSample, count);
  const [first] = planes ?? [];
  if (planes === null || first === undefined) return null;
  if (layout.bytesPerSample === 1) return layout.samples === 3 ? interleave(planes) : first;
  // Two bytes a sample: the high bytes of a component come before its low ones (PS3.5 G.2).
  const step = layout.samples;
  const out = new Uint16Array(count * step);
  for (let sample = 0; sample < step; sample += 1)
    for (let n = 0; n < count; n += 1)
      out[n * step + sample] = ((planes[2 * sample]?.[n] ?? 0) << 8) | (planes[2 * sample + 1]?.[n] ?? 0);
  return layout.lowBit > 0 ? out.map((word) => word >> layout.lowBit) : out;
}

function toDisplay(samples: Samples, layout: PixelLayout): Uint8Array {
  if (layout.palette !== null) return throughPalette(samples, layout.palette);
  if (layout.grey !== null) return throughLevels(samples, layout.grey.levels);
  const bytes = toBytes(samples, layout.bitsStored);
  // RLE of a 422 picture cannot be: PS3.5 8.2.2 lets RLE code YBR_FULL only, so three full planes are YBR_FULL.
  if (layout.photometric === 'YBR_FULL') return rgbFromYbrFull(bytes);
  return bytes;
}

/** Stored grey values to what is shown of them, also where a lossy coding gave them back. */
export function throughLevels(samples: Samples, levels: Uint8Array): Uint8Array {
  const mask = levels.length - 1;
  const out = new Uint8Array(samples.length);
  for (let n = 0; n < out.length; n += 1) out[n] = levels[(samples[n] as number) & mask] as number;
  return out;
}

function toBytes(samples: Samples, bitsStored: number): Uint8Array {
  if (samples instanceof Uint8Array && bitsStored >= 8) return samples;
  const [up, down] = [Math.max(0, 8 - bitsStored), Math.max(0, bitsStored - 8)];
  return Uint8Array.from(samples, (value) => ((value << up) >> down) & 255);
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
