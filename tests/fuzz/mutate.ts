/** A small generator of numbers from a seed (xorshift32), so that a run can be repeated. */
export function numbersFrom(seed: number): (below: number) => number {
  let state = seed | 1;
  return (below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % Math.max(1, below);
  };
}

const telling = [0, 1, 2, 0x7f, 0x80, 0xff, 0xfe, 0xd8, 0xd9, 0xda, 0xc3, 0xf7];

/**
 * Changes bytes, lengths and order in one to `most` steps; `other` lends pieces. Never longer than twice the start.
 * `cuts` false: the end stays where it is, so that a reader does not stop at the file being too short.
 */
export function mutate(
  start: Uint8Array,
  other: Uint8Array,
  below: (n: number) => number,
  { most = 6, cuts = true }: { readonly most?: number; readonly cuts?: boolean } = {},
): Uint8Array {
  let out: Uint8Array = start.slice();
  for (let step = below(most); step >= 0; step -= 1) {
    const at = below(out.length);
    const drawn = below(8);
    const kind = drawn === 4 && !cuts ? 0 : drawn;
    if (kind === 0) out[at] = below(256);
    else if (kind === 1) out[at] = (out[at] ?? 0) ^ (1 << below(8));
    else if (kind === 2) out[at] = telling[below(telling.length)] ?? 0;
    else if (kind === 3) {
      // A length or an offset, written either way round.
      const value =
        [0, 1, 0xff, 0xffff, 0x7fffffff, 0xffffffff, out.length, below(out.length)][below(8)] ?? 0;
      const bytes = [value & 255, (value >>> 8) & 255, (value >>> 16) & 255, (value >>> 24) & 255];
      if (below(2) === 0) bytes.reverse();
      out.set(bytes.slice(0, Math.max(0, Math.min(4, out.length - at))), at);
    } else if (kind === 4) out = out.slice(0, at + 1);
    else if (kind === 5) {
      const piece = out.slice(at, at + below(64));
      out = joined(out.subarray(0, at), piece, out.subarray(at));
    } else if (kind === 6)
      out = joined(out.subarray(0, at), out.subarray(Math.min(out.length, at + below(64))));
    else {
      const from = below(other.length);
      out.set(other.subarray(from, from + Math.min(below(64), out.length - at)), at);
    }
    if (out.length === 0) out = Uint8Array.from([below(256)]);
  }
  return out.length > 2 * start.length + 64 ? out.slice(0, 2 * start.length + 64) : out;
}

function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}
