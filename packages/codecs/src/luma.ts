/** Luma by whole numbers, the same on every machine, from three bytes a pixel. Grey in gives the same grey out: (77 R + 150 G + 29 B + 128) / 256. */
export function lumaFromRgb(rgb: Uint8Array | Uint8ClampedArray): Uint8Array {
  return weighed(rgb, 3);
}

/** The same from four bytes a pixel; the fourth does not count. */
export function lumaFromRgba(rgba: Uint8Array | Uint8ClampedArray): Uint8Array {
  return weighed(rgba, 4);
}

function weighed(pixels: Uint8Array | Uint8ClampedArray, step: number): Uint8Array {
  const out = new Uint8Array(Math.floor(pixels.length / step));
  for (let n = 0; n < out.length; n += 1) {
    const at = step * n;
    out[n] = (77 * (pixels[at] ?? 0) + 150 * (pixels[at + 1] ?? 0) + 29 * (pixels[at + 2] ?? 0) + 128) >> 8;
  }
  return out;
}
