import { rawBytes, uint16 } from './attributes';
import { swapPairs } from './byte-order';
import type { DataSet } from './data-set';

export interface Palette {
  /** Stored value of the first entry. */
  readonly first: number;
  /** Red, green, blue, 8 bits each. */
  readonly tables: readonly [Uint8Array, Uint8Array, Uint8Array];
}

/** Palette Color Lookup Tables, plain or segmented, 8 or 16 bit entries (PS3.3 C.7.6.3.1.5, C.7.9.2); null when missing or damaged. */
export function readPalette(dataSet: DataSet): Palette | null {
  const count = uint16(dataSet, 'x00281101', 0);
  const first = uint16(dataSet, 'x00281101', 1);
  const bits = uint16(dataSet, 'x00281101', 2);
  if (count === null || first === null || (bits !== 8 && bits !== 16)) return null;
  const entries = count === 0 ? 65536 : count;
  const tables = ['1', '2', '3'].map((colour) => readTable(dataSet, colour, entries, bits));
  const [red, green, blue] = tables;
  if (red == null || green == null || blue == null) return null;
  // Some writers say 16 bits and store 0-255 all the same: then the high byte of everything is 0.
  const narrow = bits === 8 || [red, green, blue].every((table) => table.every((value) => value < 256));
  const byte = (table: Uint16Array): Uint8Array =>
    Uint8Array.from(table, (value) => (narrow ? value : value >> 8));
  return { first, tables: [byte(red), byte(green), byte(blue)] };
}

function readTable(dataSet: DataSet, colour: string, entries: number, bits: number): Uint16Array | null {
  const plain = rawBytes(dataSet, `x0028120${colour}`);
  if (plain !== null) {
    if (bits === 8 && plain.length < 2 * entries)
      return plain.length < entries ? null : Uint16Array.from(packed(plain, dataSet).subarray(0, entries));
    return plain.length < 2 * entries ? null : words(plain, dataSet).slice(0, entries);
  }
  const segmented = rawBytes(dataSet, `x0028122${colour}`);
  if (segmented === null) return null;
  return expand(
    bits === 8 ? Uint16Array.from(packed(segmented, dataSet)) : words(segmented, dataSet),
    entries,
    bits === 8,
  );
}

function words(bytes: Uint8Array, { littleEndian }: DataSet): Uint16Array {
  const [low, high] = littleEndian ? [0, 1] : [1, 0];
  return Uint16Array.from(
    { length: bytes.length >> 1 },
    (_, n) => (bytes[2 * n + low] ?? 0) | ((bytes[2 * n + high] ?? 0) << 8),
  );
}

/** Bytes that lie two in a word (the tables have VR OW): the first is the low one (PS3.5 8.1.2). */
function packed(bytes: Uint8Array, { littleEndian }: DataSet): Uint8Array {
  return littleEndian ? bytes : swapPairs(bytes);
}

/** Segments: 0 discrete (n values), 1 linear (n points to a value), 2 indirect (n segments again, from an offset). */
function expand(codes: Uint16Array, entries: number, bytewise: boolean): Uint16Array | null {
  const out: number[] = [];
  const run = (from: number, segments: number, nested: boolean): boolean => {
    let at = from;
    for (let done = 0; done < segments && at + 1 < codes.length; done += 1) {
      const kind = codes[at] ?? 0;
      const length = codes[at + 1] ?? 0;
      if (out.length + length > entries && kind !== 2) return false;
      if (kind === 0) {
        if (at + 2 + length > codes.length) return false;
        for (let n = 0; n < length; n += 1) out.push(codes[at + 2 + n] ?? 0);
        at += 2 + length;
      } else if (kind === 1) {
        const start = out.at(-1);
        const end = codes[at + 2];
        if (start === undefined || end === undefined) return false;
        for (let n = 1; n <= length; n += 1) out.push(Math.trunc(start + ((end - start) * n) / length));
        at += 3;
      } else if (kind === 2 && !nested) {
        const parts = bytewise
          ? [0, 1, 2, 3].map((n) => codes[at + 2 + n] ?? 0)
          : [codes[at + 2] ?? 0, codes[at + 3] ?? 0];
        const offset = bytewise
          ? (parts[0] ?? 0) + (parts[1] ?? 0) * 256 + (parts[2] ?? 0) * 65536 + (parts[3] ?? 0) * 16777216
          : ((parts[0] ?? 0) + (parts[1] ?? 0) * 65536) / 2;
        if (!run(Math.floor(offset), length, true)) return false;
        at += bytewise ? 6 : 4;
      } else return false;
    }
    return true;
  };
  if (!run(0, Number.MAX_SAFE_INTEGER, false) || out.length !== entries) return null;
  return Uint16Array.from(out);
}
