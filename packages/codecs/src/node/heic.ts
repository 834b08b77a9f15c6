import { createRequire } from 'node:module';
import type { Picture, Read } from '@chordae/dicom';
import { refuse } from '@chordae/dicom';

/** The part of the optional package `libheif-js` that is used (libheif and libde265 as WebAssembly, LGPL). */
interface HeifImage {
  get_width(): number;
  get_height(): number;
  is_primary(): boolean;
  display(
    into: { data: Uint8ClampedArray; width: number; height: number },
    done: (shown: { data: Uint8ClampedArray } | null) => void,
  ): void;
  free(): void;
}
interface Heif {
  readonly HeifDecoder: new () => { decode(bytes: Uint8Array): HeifImage[] };
}

let library: Heif | null | undefined;

function heif(): Heif | null {
  if (library !== undefined) return library;
  try {
    library = createRequire(import.meta.url)('libheif-js/wasm-bundle') as Heif;
  } catch {
    library = null;
  }
  return library;
}

export function readsHeic(): boolean {
  return heif() !== null;
}

const mostPixels = 64_000_000;

/**
 * The primary picture of a HEIC file, turned and cropped as the file says, on black where it is transparent. Refuses
 * FORMAT_NOT_YET_READ {what} where the optional library is not installed, PICTURE_TOO_LARGE, FRAME_DAMAGED.
 */
export async function decodeHeic(bytes: Uint8Array): Promise<Read<Picture>> {
  const found = heif();
  if (found === null) return refuse('FORMAT_NOT_YET_READ', { what: 'a HEIC picture' });
  let images: HeifImage[] = [];
  try {
    images = new found.HeifDecoder().decode(bytes);
    const image = images.find((one) => one.is_primary()) ?? images[0];
    if (image === undefined) return refuse('FRAME_DAMAGED');
    const [widthPx, heightPx] = [image.get_width(), image.get_height()];
    if (widthPx < 1 || heightPx < 1) return refuse('FRAME_DAMAGED');
    if (widthPx * heightPx > mostPixels) return refuse('PICTURE_TOO_LARGE', { widthPx, heightPx });
    const rgba = await shown(image, widthPx, heightPx);
    return rgba === null
      ? refuse('FRAME_DAMAGED')
      : { ok: true, value: { widthPx, heightPx, channels: 3, pixels: onBlack(rgba) } };
  } catch {
    return refuse('FRAME_DAMAGED');
  } finally {
    for (const image of images) image.free();
  }
}

function shown(image: HeifImage, width: number, height: number): Promise<Uint8ClampedArray | null> {
  const into = { data: new Uint8ClampedArray(4 * width * height), width, height };
  return new Promise((resolve) => image.display(into, (done) => resolve(done?.data ?? null)));
}

function onBlack(rgba: Uint8ClampedArray): Uint8Array {
  const out = new Uint8Array((rgba.length / 4) * 3);
  for (let from = 0, to = 0; from < rgba.length; from += 4, to += 3) {
    const opaque = rgba[from + 3] ?? 255;
    for (let c = 0; c < 3; c += 1) {
      const value = rgba[from + c] ?? 0;
      out[to + c] = opaque === 255 ? value : Math.round((value * opaque) / 255);
    }
  }
  return out;
}
