import type { DataSet } from 'dicom-parser';
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

/** US, 16-bit. */
export function uint16(dataSet: DataSet, tag: string, index = 0): number | null {
  return finite(safely(() => dataSet.uint16(tag, index)));
}

/** UL, 32-bit. */
export function uint32(dataSet: DataSet, tag: string): number | null {
  return finite(safely(() => dataSet.uint32(tag)));
}

/** SL, 32-bit signed. */
export function int32(dataSet: DataSet, tag: string): number | null {
  return finite(safely(() => dataSet.int32(tag)));
}

/** FD, double. */
export function double(dataSet: DataSet, tag: string): number | null {
  return finite(safely(() => dataSet.double(tag)));
}

/** CS, UI and other plain codes. */
export function code(dataSet: DataSet, tag: string): string | null {
  const value = safely(() => dataSet.string(tag))
    ?.replaceAll('\0', '')
    .trim();
  return value === undefined || value === '' ? null : value;
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
  const element = dataSet.elements[tag];
  if (element === undefined) return [];
  const count = Math.min(Math.floor(element.length / 4), 100_000);
  return Array.from({ length: count }, (_, n) => safely(() => dataSet.float(tag, n)) ?? Number.NaN);
}

/** The raw bytes of an element's value, a view on the header. */
export function rawBytes(dataSet: DataSet, tag: string): Uint8Array | null {
  const element = dataSet.elements[tag];
  if (element === undefined || element.length === 0) return null;
  return dataSet.byteArray.subarray(element.dataOffset, element.dataOffset + element.length);
}

/** LO, PN, SH and other text in the file's own character set; at most 200 letters. */
export function text(dataSet: DataSet, tag: string, characterSet: string): string | null {
  const bytes = rawBytes(dataSet, tag);
  if (bytes === null) return null;
  const value = safely(() => decodeText(bytes.subarray(0, 1024), characterSet));
  return value === null || value === '' ? null : value.slice(0, 200);
}

/** The data sets of a sequence's items. */
export function items(dataSet: DataSet, tag: string): DataSet[] {
  return (dataSet.elements[tag]?.items ?? []).flatMap((item) =>
    item.dataSet === undefined ? [] : [item.dataSet],
  );
}
