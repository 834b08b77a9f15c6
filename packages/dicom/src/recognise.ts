import type { Read } from './source';
import { refuse } from './source';

export type StillFormat = 'jpeg' | 'png' | 'webp' | 'tiff' | 'bmp' | 'gif' | 'heic' | 'avif';
export type FilmFormat = 'avi' | 'mp4' | 'mov' | 'wmv' | 'mpeg' | 'matroska';
export type KnownFormat = 'dicom' | StillFormat | FilmFormat | 'pdf' | 'zip';

const known: readonly (readonly [KnownFormat, readonly number[]])[] = [
  ['jpeg', [0xff, 0xd8, 0xff]],
  ['png', [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]],
  ['avi', [0x52, 0x49, 0x46, 0x46, -1, -1, -1, -1, 0x41, 0x56, 0x49, 0x20]],
  ['webp', [0x52, 0x49, 0x46, 0x46, -1, -1, -1, -1, 0x57, 0x45, 0x42, 0x50]],
  ['wmv', [0x30, 0x26, 0xb2, 0x75, 0x8e, 0x66, 0xcf, 0x11]],
  ['matroska', [0x1a, 0x45, 0xdf, 0xa3]],
  ['mpeg', [0x00, 0x00, 0x01, 0xba]],
  ['mpeg', [0x00, 0x00, 0x01, 0xb3]],
  ['gif', [0x47, 0x49, 0x46, 0x38]],
  ['bmp', [0x42, 0x4d, -1, -1, -1, -1, 0, 0, 0, 0]],
  ['tiff', [0x49, 0x49, 0x2a, 0x00]],
  ['tiff', [0x4d, 0x4d, 0x00, 0x2a]],
  ['pdf', [0x25, 0x50, 0x44, 0x46, 0x2d]],
  ['zip', [0x50, 0x4b, 0x03, 0x04]],
  ['zip', [0x50, 0x4b, 0x05, 0x06]],
];

/** Signatures at the start of a file: byte values (-1 = any), and what it is in plain words. */
const notYet: readonly (readonly [string, readonly number[]])[] = [
  ['a gzip archive', [0x1f, 0x8b]],
  ['a RAR archive', [0x52, 0x61, 0x72, 0x21]],
  ['a 7z archive', [0x37, 0x7a, 0xbc, 0xaf]],
  ['a JPEG 2000 picture', [0x00, 0x00, 0x00, 0x0c, 0x6a, 0x50]],
  ['a JPEG XL picture', [0x00, 0x00, 0x00, 0x0c, 0x4a, 0x58]],
  ['a JPEG XL picture', [0xff, 0x0a]],
];

function startsWith(bytes: Uint8Array, signature: readonly number[], at = 0): boolean {
  return signature.every((value, n) => value === -1 || bytes[at + n] === value);
}

function letters(bytes: Uint8Array, at: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + length));
}

/** A data set without preamble: begins with a low group, little endian, and a value representation or a sane length. */
export function isBareDataSet(bytes: Uint8Array): boolean {
  if (bytes.length < 16) return false;
  const group = (bytes[0] ?? 0) | ((bytes[1] ?? 0) << 8);
  // Big endian: the group's low byte comes second, the VR's letters stand in the same place.
  if ((group === 0x0200 || group === 0x0800) && bytes[2] === 0)
    return /^[A-Z]{2}$/.test(letters(bytes, 4, 2));
  if ((group !== 0x0002 && group !== 0x0008) || bytes[3] !== 0) return false;
  if (/^[A-Z]{2}$/.test(letters(bytes, 4, 2))) return true;
  return bytes[6] === 0 && bytes[7] === 0 && (bytes[5] ?? 1) < 2;
}

/**
 * Says by content, never by name, what a file is.
 * @param bytes the first bytes (4,096 are plenty)
 * @param size of the whole file
 * Refuses with FILE_EMPTY, FORMAT_NOT_YET_READ {what} or NOT_AN_IMAGE.
 */
export function recognise(bytes: Uint8Array, size: number = bytes.length): Read<KnownFormat> {
  if (size === 0 || bytes.length === 0) return refuse('FILE_EMPTY');
  if (letters(bytes, 128, 4) === 'DICM') return { ok: true, value: 'dicom' };
  const found = known.find(([, signature]) => startsWith(bytes, signature));
  if (found !== undefined) return { ok: true, value: found[0] };
  const other = notYet.find(([, signature]) => startsWith(bytes, signature));
  if (other !== undefined) return refuse('FORMAT_NOT_YET_READ', { what: other[0] });
  if (letters(bytes, 4, 4) === 'ftyp') return boxed(bytes);
  if (['moov', 'mdat', 'wide', 'free', 'skip'].includes(letters(bytes, 4, 4)))
    return { ok: true, value: 'mov' };
  if (isBareDataSet(bytes)) return { ok: true, value: 'dicom' };
  return refuse('NOT_AN_IMAGE');
}

/** ISO base media files by their major brand (ISO/IEC 14496-12 4.3); one that says only 'pictures' by its other brands. */
function boxed(bytes: Uint8Array): Read<KnownFormat> {
  const brand = letters(bytes, 8, 4);
  const length = Math.min(bytes.length, 256, (bytes[2] ?? 0) * 256 + (bytes[3] ?? 0));
  const brands: readonly string[] = letters(bytes, 8, Math.max(0, length - 8)).match(/.{4}/gs) ?? [];
  if (/^(avif|avis)/.test(brand)) return { ok: true, value: 'avif' };
  if (/^(hei|hev|mif|msf)/.test(brand))
    return { ok: true, value: /^(mif|msf)/.test(brand) && brands.includes('avif') ? 'avif' : 'heic' };
  return { ok: true, value: brand.startsWith('qt') ? 'mov' : 'mp4' };
}
