/** What a picture made by a browser holds besides its pixels: tables, sizes, a JFIF or colour header. No text, no notes. */
const ALLOWED = new Set([0xe0, 0xe2, 0xee, 0xdb, 0xc0, 0xc1, 0xc2, 0xc4, 0xdd]);
const START_OF_SCAN = 0xda;
const FRAME_HEADERS = new Set([0xc0, 0xc1, 0xc2]);

/**
 * Size of a JPEG in pixels (ITU-T T.81, B.2), or null where it is none or carries anything that could hold words: comments
 * and application segments other than those that browsers write.
 */
export function sizeOfPlainJpeg(bytes: Uint8Array): { widthPx: number; heightPx: number } | null {
  const word = (at: number) => ((bytes[at] ?? 0) << 8) | (bytes[at + 1] ?? 0);
  if (word(0) !== 0xffd8 || word(bytes.length - 2) !== 0xffd9) return null;
  let size: { widthPx: number; heightPx: number } | null = null;
  for (let at = 2; at + 4 <= bytes.length; ) {
    if (bytes[at] !== 0xff) return null;
    const marker = bytes[at + 1] ?? 0;
    if (marker === START_OF_SCAN) return size;
    if (!ALLOWED.has(marker)) return null;
    if (FRAME_HEADERS.has(marker)) size = { heightPx: word(at + 5), widthPx: word(at + 7) };
    at += 2 + Math.max(2, word(at + 2));
  }
  return null;
}
