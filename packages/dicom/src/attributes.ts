import type { DataElement, DataSet } from './data-set';
import { decodeText } from './text';

/** Reading of single attributes; every function gives null for absent, empty or unreadable values and never throws. */
function safely<T>(read: () => T | undefined | null): T | null {
  try {
    return read() ?? null;
  } catch {
    return null;
  }
}

function finite(value: number | null): number | null {
  return value !== null && Number.isFinite(value) ? value : null;
}

/** Reads one number of `bytes` bytes at position `index` of a value; null where the value is shorter. */
function numberAt(
  dataSet: DataSet,
  tag: string,
  index: number,
  bytes: number,
  read: (view: DataView, at: number, littleEndian: boolean) => number,
): number | null {
  const element = dataSet.elements.get(tag);
  if (element === undefined || (index + 1) * bytes > element.length) return null;
  const view = new DataView(dataSet.bytes.buffer, dataSet.bytes.byteOffset, dataSet.bytes.byteLength);
  return finite(safely(() => read(view, element.offset + index * bytes, dataSet.littleEndian)));
}

/** US, 16-bit. */
export function uint16(dataSet: DataSet, tag: string, index = 0): number | null {
  return numberAt(dataSet, tag, index, 2, (view, at, little) => view.getUint16(at, little));
}

/** SS, 16-bit signed. */
export function int16(dataSet: DataSet, tag: string, index = 0): number | null {
  return numberAt(dataSet, tag, index, 2, (view, at, little) => view.getInt16(at, little));
}

/** UL, 32-bit. */
export function uint32(dataSet: DataSet, tag: string): number | null {
  return numberAt(dataSet, tag, 0, 4, (view, at, little) => view.getUint32(at, little));
}

/** SL, 32-bit signed. */
export function int32(dataSet: DataSet, tag: string): number | null {
  return numberAt(dataSet, tag, 0, 4, (view, at, little) => view.getInt32(at, little));
}

/** FD, double. */
export function double(dataSet: DataSet, tag: string): number | null {
  return numberAt(dataSet, tag, 0, 8, (view, at, little) => view.getFloat64(at, little));
}

/** True when the attribute is there, even without a value. */
export function has(dataSet: DataSet, tag: string): boolean {
  return dataSet.elements.has(tag);
}

/** CS, UI and other plain codes. */
export function code(dataSet: DataSet, tag: string): string | null {
  const bytes = rawBytes(dataSet, tag);
  if (bytes === null) return null;
  const value = letters(bytes.subarray(0, longestCode)).replaceAll('\0', '').trim();
  return value === '' ? null : value;
}

/** A code of a file as it may be quoted in a sentence: at most `most` letters, others than printable ASCII as '?'. `legible('A\nB', 8)` is 'A?B'. */
export function legible(value: string | null, most: number): string {
  return (value ?? '').slice(0, most).replace(/[^ -~]/g, '?');
}

/** A frame time vector of 20,000 frames has some 200 KB. */
const longestCode = 1_000_000;

function letters(bytes: Uint8Array): string {
  let out = '';
  for (let at = 0; at < bytes.length; at += 4096)
    out += String.fromCharCode(...bytes.subarray(at, at + 4096));
  return out;
}

/** DS or IS with one value. */
export function decimal(dataSet: DataSet, tag: string): number | null {
  return decimals(dataSet, tag)[0] ?? null;
}

/** DS with several values; a value that is no number becomes NaN so that positions stay. */
export function decimals(dataSet: DataSet, tag: string): number[] {
  const value = code(dataSet, tag);
  if (value === null) return [];
  return value.split('\\').map((part) => (part.trim() === '' ? Number.NaN : Number(part)));
}

/** FL with several values. */
export function floats(dataSet: DataSet, tag: string): number[] {
  const element: DataElement | undefined = dataSet.elements.get(tag);
  if (element === undefined) return [];
  const count = Math.min(Math.floor(element.length / 4), 100_000);
  return Array.from(
    { length: count },
    (_, n) => numberAt(dataSet, tag, n, 4, (view, at, little) => view.getFloat32(at, little)) ?? Number.NaN,
  );
}

/** The raw bytes of an element's value, a view on the header. */
export function rawBytes(dataSet: DataSet, tag: string): Uint8Array | null {
  const element = dataSet.elements.get(tag);
  if (element === undefined || element.length === 0) return null;
  return dataSet.bytes.subarray(element.offset, element.offset + element.length);
}

/** LO, PN, SH and other text in the file's own character set; at most 200 letters. */
export function text(dataSet: DataSet, tag: string, characterSet: string): string | null {
  const bytes = rawBytes(dataSet, tag);
  if (bytes === null) return null;
  const value = safely(() => decodeText(bytes.subarray(0, 1024), characterSet));
  return value === null || value === '' ? null : value.slice(0, 200);
}

/** The data sets of a sequence's items. */
export function items(dataSet: DataSet, tag: string): readonly DataSet[] {
  return dataSet.elements.get(tag)?.items ?? [];
}
