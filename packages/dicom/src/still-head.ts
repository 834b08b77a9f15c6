/** Heads of JPEG and PNG files: enough to know size and completeness without decoding. */
export interface JpegHead {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly components: number;
  /** Bits a sample. */
  readonly precision: number;
  /** 0 baseline, 1 extended, 2 progressive, 3 lossless … (ITU-T T.81 table B.1). */
  readonly process: number;
  /** Exif orientation, 1 when absent (1-8). */
  readonly orientation: number;
}

/** Reads the markers up to the frame head; null when there is none. */
export function readJpegHead(bytes: Uint8Array): JpegHead | null {
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = 2;
  let orientation = 1;
  while (at + 4 <= bytes.length) {
    if (bytes[at] !== 0xff) return null;
    const marker = bytes[at + 1] ?? 0;
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    if (marker === 0xd9 || marker === 0xda) return null;
    const length = view.getUint16(at + 2);
    const isFrame = marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
    if (isFrame) {
      if (at + 10 > bytes.length) return null;
      return {
        precision: view.getUint8(at + 4),
        heightPx: view.getUint16(at + 5),
        widthPx: view.getUint16(at + 7),
        components: view.getUint8(at + 9),
        process: marker - 0xc0,
        orientation,
      };
    }
    if (marker === 0xe1)
      orientation = exifOrientation(bytes.subarray(at + 4, at + 2 + length)) ?? orientation;
    if (length < 2) return null;
    at += 2 + length;
  }
  return null;
}

/** Tag 0x0112 of the first directory (Exif 2.3, 4.6.2). */
function exifOrientation(bytes: Uint8Array): number | null {
  if (bytes.length < 20 || String.fromCharCode(...bytes.subarray(0, 4)) !== 'Exif') return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset + 6, bytes.length - 6);
  const little = view.getUint16(0) === 0x4949;
  const directory = view.getUint32(4, little);
  if (directory + 2 > view.byteLength) return null;
  const count = view.getUint16(directory, little);
  for (let n = 0; n < count; n += 1) {
    const at = directory + 2 + 12 * n;
    if (at + 12 > view.byteLength) return null;
    if (view.getUint16(at, little) !== 0x0112) continue;
    const value = view.getUint16(at + 8, little);
    return value >= 1 && value <= 8 ? value : null;
  }
  return null;
}

/** True when an end-of-image marker stands at the end; padding of zeros and one stray byte are let through. */
export function jpegIsComplete(bytes: Uint8Array): boolean {
  for (let at = bytes.length - 2; at >= Math.max(0, bytes.length - 512); at -= 1)
    if (bytes[at] === 0xff && bytes[at + 1] === 0xd9) return true;
  return false;
}

/** Size from the IHDR chunk; null when it is not the first chunk. */
export function readPngHead(
  bytes: Uint8Array,
): { readonly widthPx: number; readonly heightPx: number } | null {
  if (bytes.length < 26 || String.fromCharCode(...bytes.subarray(12, 16)) !== 'IHDR') return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return { widthPx: view.getUint32(16), heightPx: view.getUint32(20) };
}

/** True when the IEND chunk is there. */
export function pngIsComplete(bytes: Uint8Array): boolean {
  for (let at = bytes.length - 8; at >= Math.max(8, bytes.length - 512); at -= 1)
    if (String.fromCharCode(...bytes.subarray(at, at + 4)) === 'IEND') return true;
  return false;
}
