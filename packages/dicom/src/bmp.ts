import type { Picture } from './pixels';
import type { Read } from './source';
import { refuse } from './source';

const widestPx = 16_384;
const mostPixels = 64_000_000;

/**
 * An uncompressed Windows bitmap (headers of 12, 40, 108 and 124 bytes; 1, 4, 8, 24 and 32 bits a pixel).
 * Refuses NOT_AN_IMAGE, PICTURE_TOO_LARGE, FILE_TRUNCATED, COLOUR_NOT_YET_READ (run-length coded or with odd masks).
 */
export function decodeBmp(bytes: Uint8Array): Read<Picture> {
  if (bytes.length < 30) return refuse('FILE_TRUNCATED');
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const pixelsAt = view.getUint32(10, true);
  const headBytes = view.getUint32(14, true);
  const old = headBytes === 12;
  if (!old && (headBytes < 40 || bytes.length < 54)) return refuse('NOT_AN_IMAGE');
  const widthPx = old ? view.getUint16(18, true) : view.getInt32(18, true);
  const rows = old ? view.getUint16(20, true) : view.getInt32(22, true);
  const bits = view.getUint16(old ? 24 : 28, true);
  const compression = old ? 0 : view.getUint32(30, true);
  const heightPx = Math.abs(rows);
  if (widthPx < 1 || heightPx < 1) return refuse('NOT_AN_IMAGE');
  if (widthPx > widestPx || heightPx > widestPx || widthPx * heightPx > mostPixels)
    return refuse('PICTURE_TOO_LARGE', { widthPx, heightPx });
  const plain =
    compression === 0 || (compression === 3 && bits === 32 && view.getUint32(54, true) === 0xff0000);
  if (!plain || ![1, 4, 8, 24, 32].includes(bits))
    return refuse('COLOUR_NOT_YET_READ', {
      photometric: `bitmap of ${bits} bits, compression ${compression}`,
    });
  const rowBytes = ((widthPx * bits + 31) >> 5) << 2;
  if (pixelsAt + rowBytes * heightPx > bytes.length) return refuse('FILE_TRUNCATED');
  const tableAt = 14 + headBytes;
  const entryBytes = old ? 3 : 4;
  const pixels = new Uint8Array(3 * widthPx * heightPx);
  for (let y = 0; y < heightPx; y += 1) {
    // A negative height means that the rows come from the top.
    const row = pixelsAt + (rows < 0 ? y : heightPx - 1 - y) * rowBytes;
    for (let x = 0; x < widthPx; x += 1) {
      const from = bits > 8 ? row + x * (bits >> 3) : tableAt + entryBytes * indexAt(bytes, row, x, bits);
      const to = 3 * (y * widthPx + x);
      pixels[to] = bytes[from + 2] ?? 0;
      pixels[to + 1] = bytes[from + 1] ?? 0;
      pixels[to + 2] = bytes[from] ?? 0;
    }
  }
  return { ok: true, value: { widthPx, heightPx, channels: 3, pixels } };
}

function indexAt(bytes: Uint8Array, row: number, x: number, bits: number): number {
  const place = x * bits;
  return ((bytes[row + (place >> 3)] ?? 0) >> (8 - bits - (place & 7))) & ((1 << bits) - 1);
}
