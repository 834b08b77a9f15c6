import type { Read } from './source';
import { refuse } from './source';
import { explicitBig, explicitLittle, implicitLittle } from './transfer-syntax';

export interface Meta {
  /** Transfer syntax UID. */
  readonly uid: string;
  /** Where the data set begins. */
  readonly at: number;
  /** true: the file does not name its transfer syntax, it was found by looking at the first element. */
  readonly guessed: boolean;
}

function letters(bytes: Uint8Array, at: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + length));
}

/**
 * Reads preamble and file meta information (PS3.10 7.1), each of which may be missing. Group 0002 is explicit VR little
 * endian by the standard; where it stands in another coding, it is read as what it is. Refuses DICOM_DAMAGED.
 */
export function readMeta(bytes: Uint8Array): Read<Meta> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = letters(bytes, 128, 4) === 'DICM' && !startsAtZero(bytes) ? 132 : 0;
  let uid: string | null = null;
  while (at + 8 <= bytes.length && view.getUint16(at, true) === 2) {
    const vr = letters(bytes, at + 4, 2);
    const explicit = /^[A-Z]{2}$/.test(vr);
    const long = explicit && ['OB', 'OW', 'UN', 'SQ', 'UT', 'OF'].includes(vr);
    if (long && at + 12 > bytes.length) return refuse('FILE_TRUNCATED');
    const length = long
      ? view.getUint32(at + 8, true)
      : explicit
        ? view.getUint16(at + 6, true)
        : view.getUint32(at + 4, true);
    const value = at + (long ? 12 : 8);
    if (value + length > bytes.length) return refuse('FILE_TRUNCATED');
    if (view.getUint16(at + 2, true) === 0x0010)
      uid = letters(bytes, value, Math.min(length, 64)).replaceAll('\0', '').trim();
    at = value + length;
  }
  if (uid !== null && uid !== '') return { ok: true, value: { uid, at, guessed: false } };
  return { ok: true, value: { uid: guess(bytes, at), at, guessed: true } };
}

/** A data set without preamble whose text happens to hold DICM at byte 128 begins with an element all the same. */
function startsAtZero(bytes: Uint8Array): boolean {
  const explicit = /^[A-Z]{2}$/.test(letters(bytes, 4, 2));
  const group = (bytes[0] ?? 0) | ((bytes[1] ?? 0) << 8);
  return explicit && (group === 2 || group === 8);
}

/** From the first element: the byte order by its group (never above 00FF), the kind by its letters. */
function guess(bytes: Uint8Array, at: number): string {
  const explicit = /^[A-Z]{2}$/.test(letters(bytes, at + 4, 2));
  if (!explicit) return implicitLittle;
  return (bytes[at] ?? 0) === 0 && (bytes[at + 1] ?? 0) !== 0 ? explicitBig : explicitLittle;
}
