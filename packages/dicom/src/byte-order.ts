/** The bytes of each 16-bit word the other way round; an odd last byte stays. */
export function swapPairs(bytes: Uint8Array): Uint8Array {
  const out = bytes.slice();
  for (let at = 0; at + 1 < out.length; at += 2) {
    out[at] = bytes[at + 1] ?? 0;
    out[at + 1] = bytes[at] ?? 0;
  }
  return out;
}
