/** Colour conversion to 8-bit RGB. YBR by the inverse of the matrix in PS3.3 C.7.6.3.1.2 (CCIR 601, full range). */
function byte(value: number): number {
  if (value <= 0) return 0;
  return value >= 255 ? 255 : Math.floor(value + 0.5);
}

/** One YBR_FULL pixel into `out` at `at`. */
function putYbr(out: Uint8Array, at: number, y: number, cb: number, cr: number): void {
  out[at] = byte(y + 1.402 * (cr - 128));
  out[at + 1] = byte(y - 0.344136 * (cb - 128) - 0.714136 * (cr - 128));
  out[at + 2] = byte(y + 1.772 * (cb - 128));
}

/** Planes (three, of equal length) to pixels one after the other. */
export function interleave(planes: readonly Uint8Array[]): Uint8Array {
  const [red, green, blue] = planes;
  if (red === undefined || green === undefined || blue === undefined)
    throw new Error('interleave: three planes wanted');
  const out = new Uint8Array(3 * red.length);
  for (let n = 0; n < red.length; n += 1) {
    out[3 * n] = red[n] ?? 0;
    out[3 * n + 1] = green[n] ?? 0;
    out[3 * n + 2] = blue[n] ?? 0;
  }
  return out;
}

/** YBR_FULL pixels (Y, Cb, Cr one after the other) to RGB, in a new array. */
export function rgbFromYbrFull(pixels: Uint8Array): Uint8Array {
  const out = new Uint8Array(pixels.length);
  for (let at = 0; at + 2 < pixels.length; at += 3)
    putYbr(out, at, pixels[at] ?? 0, pixels[at + 1] ?? 0, pixels[at + 2] ?? 0);
  return out;
}

/** Native YBR_FULL_422: Y1 Y2 Cb Cr for each two pixels of a row. */
export function rgbFromYbr422(bytes: Uint8Array, pixelCount: number): Uint8Array {
  const out = new Uint8Array(3 * pixelCount);
  for (let pixel = 0; pixel + 1 < pixelCount; pixel += 2) {
    const at = 2 * pixel;
    const cb = bytes[at + 2] ?? 0;
    const cr = bytes[at + 3] ?? 0;
    putYbr(out, 3 * pixel, bytes[at] ?? 0, cb, cr);
    putYbr(out, 3 * pixel + 3, bytes[at + 1] ?? 0, cb, cr);
  }
  return out;
}
