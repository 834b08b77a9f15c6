/**
 * RLE Lossless of PS3.5 annex G: a 64-byte head (number of segments, their offsets), then PackBits-coded segments,
 * one for each byte of a pixel's samples, most significant first, each plane after the other.
 */
export const rleHeadBytes = 64;

/** Decodes one segment into exactly `length` bytes; null when it ends early or runs over. */
function decodeSegment(bytes: Uint8Array, from: number, to: number, length: number): Uint8Array | null {
  const out = new Uint8Array(length);
  let at = from;
  let filled = 0;
  while (filled < length) {
    if (at >= to) return null;
    const control = bytes[at] ?? 0;
    at += 1;
    if (control === 128) continue;
    if (control < 128) {
      const run = control + 1;
      if (at + run > to) return null;
      // Writers may code the padding of an odd segment inside the last run: take only what fits.
      const part = Math.min(run, length - filled);
      out.set(bytes.subarray(at, at + part), filled);
      at += run;
      filled += part;
    } else {
      if (at >= to) return null;
      const part = Math.min(257 - control, length - filled);
      out.fill(bytes[at] ?? 0, filled, filled + part);
      at += 1;
      filled += part;
    }
  }
  return out;
}

/** The segments of one frame, each `pixelCount` bytes; null when the frame is damaged or has another number of segments. */
export function decodeRle(bytes: Uint8Array, segmentCount: number, pixelCount: number): Uint8Array[] | null {
  if (bytes.length < rleHeadBytes) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (view.getUint32(0, true) !== segmentCount || segmentCount < 1 || segmentCount > 15) return null;
  // Two bytes give at most 128: what promises more is damaged, and no room is made for it.
  if (64 * bytes.length < pixelCount * segmentCount) return null;
  const segments: Uint8Array[] = [];
  for (let number = 0; number < segmentCount; number += 1) {
    const from = view.getUint32(4 + 4 * number, true);
    const to = number + 1 < segmentCount ? view.getUint32(8 + 4 * number, true) : bytes.length;
    if (from < rleHeadBytes || to < from || to > bytes.length) return null;
    const segment = decodeSegment(bytes, from, to, pixelCount);
    if (segment === null) return null;
    segments.push(segment);
  }
  return segments;
}

/** Codes one segment of `rowBytes`-long rows; no run crosses a row (PS3.5 G.3.1). */
function encodeSegment(plane: Uint8Array, rowBytes: number): number[] {
  const out: number[] = [];
  for (let row = 0; row < plane.length; row += rowBytes) encodeRow(plane.subarray(row, row + rowBytes), out);
  if (out.length % 2 === 1) out.push(128);
  return out;
}

function encodeRow(row: Uint8Array, out: number[]): void {
  let at = 0;
  while (at < row.length) {
    let run = 1;
    while (run < 128 && at + run < row.length && row[at + run] === row[at]) run += 1;
    if (run > 1) {
      out.push(257 - run, row[at] ?? 0);
      at += run;
      continue;
    }
    let literal = 1;
    while (literal < 128 && at + literal < row.length && row[at + literal] !== row[at + literal + 1])
      literal += 1;
    out.push(literal - 1);
    for (let n = 0; n < literal; n += 1) out.push(row[at + n] ?? 0);
    at += literal;
  }
}

/** Codes planes of equal size as one RLE frame; the inverse of `decodeRle`. */
export function encodeRle(planes: readonly Uint8Array[], rowBytes: number): Uint8Array {
  const segments = planes.map((plane) => encodeSegment(plane, rowBytes));
  const out = new Uint8Array(segments.reduce((sum, segment) => sum + segment.length, rleHeadBytes));
  const view = new DataView(out.buffer);
  view.setUint32(0, segments.length, true);
  let at = rleHeadBytes;
  segments.forEach((segment, number) => {
    view.setUint32(4 + 4 * number, at, true);
    out.set(segment, at);
    at += segment.length;
  });
  return out;
}
