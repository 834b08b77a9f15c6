import type { DataSet } from 'dicom-parser';
// The default import is the one form that Node, esbuild and vite agree on for this CommonJS package.
import dicomParser from 'dicom-parser';
import type { ByteSource, Read } from './source';
import { refuse } from './source';
import type { PixelCoding } from './transfer-syntax';
import { transferSyntaxOf } from './transfer-syntax';

export interface DicomHeader {
  readonly dataSet: DataSet;
  readonly transferSyntax: string;
  readonly coding: PixelCoding;
  /** Where the value of Pixel Data (7FE0,0010) begins in the file. */
  readonly pixelOffset: number;
  /** Bytes; null when the length is undefined (encapsulated). */
  readonly pixelBytes: number | null;
}

const firstSlice = 256 * 1024;
/** A header above this is refused: none of ours is above 1 MB, and the parser holds all of it. */
const largestHeader = 64 * 1024 * 1024;
const pixelTag = 'x7fe00010';

/**
 * Reads the header, by growing slices, up to Pixel Data.
 * Refuses with TRANSFER_SYNTAX_NOT_YET_READ {name}, FORMAT_NOT_YET_READ {what}, DICOM_NO_PIXELS, FILE_TRUNCATED, DICOM_DAMAGED.
 */
export async function readHeader(source: ByteSource): Promise<Read<DicomHeader>> {
  for (let length = Math.min(firstSlice, source.size); ; length = Math.min(length * 4, source.size)) {
    const slice = await source.read(0, length);
    if (slice.length < length) return refuse('FILE_TRUNCATED');
    const syntax = findTransferSyntax(slice);
    if (!syntax.ok) return syntax;
    const name = transferSyntaxOf(syntax.value);
    if (name.coding === null) return refuse('TRANSFER_SYNTAX_NOT_YET_READ', { name: name.name });
    const whole = length === source.size;
    const parsed = parse(slice, syntax.value);
    if (parsed.ok && (whole || parsed.value.elements[pixelTag] !== undefined))
      return located(parsed.value, syntax.value, name.coding);
    if (whole && !parsed.ok) return parsed;
    if (length >= largestHeader) return refuse('DICOM_HEADER_TOO_LARGE');
  }
}

function parse(slice: Uint8Array, syntax: string): Read<DataSet> {
  try {
    return {
      ok: true,
      value: dicomParser.parseDicom(slice, { TransferSyntaxUID: syntax, untilTag: pixelTag }),
    };
  } catch (thrown) {
    const says =
      typeof thrown === 'string' ? thrown : String((thrown as { exception?: unknown }).exception ?? thrown);
    return refuse(/overrun|past|beyond|eof|end of/i.test(says) ? 'FILE_TRUNCATED' : 'DICOM_DAMAGED');
  }
}

function located(dataSet: DataSet, transferSyntax: string, coding: PixelCoding): Read<DicomHeader> {
  const sopClass = dataSet.string('x00080016') ?? dataSet.string('x00020002') ?? '';
  if (sopClass === '1.2.840.10008.1.3.10' || dataSet.elements['x00041220'] !== undefined)
    return refuse('FORMAT_NOT_YET_READ', { what: 'DICOM directory' });
  const element = dataSet.elements[pixelTag];
  if (element === undefined)
    return refuse('DICOM_NO_PIXELS', { modality: dataSet.string('x00080060') ?? '' });
  const undefinedLength = element.hadUndefinedLength === true;
  return {
    ok: true,
    value: {
      dataSet,
      transferSyntax,
      coding,
      pixelOffset: element.dataOffset,
      pixelBytes: undefinedLength ? null : element.length,
    },
  };
}

/** The transfer syntax from group 0002; without any meta header, guessed from the first element (explicit or implicit). */
function findTransferSyntax(slice: Uint8Array): Read<string> {
  const view = new DataView(slice.buffer, slice.byteOffset, slice.byteLength);
  const letters = (at: number, length: number): string =>
    String.fromCharCode(...slice.subarray(at, at + length));
  let at = letters(128, 4) === 'DICM' ? 132 : 0;
  const explicit = /^[A-Z]{2}$/.test(letters(at + 4, 2));
  while (at + 8 <= slice.length && view.getUint16(at, true) === 2) {
    const long = ['OB', 'OW', 'UN', 'SQ', 'UT', 'OF'].includes(letters(at + 4, 2));
    if (long && at + 12 > slice.length) break;
    const length = long ? view.getUint32(at + 8, true) : view.getUint16(at + 6, true);
    const value = at + (long ? 12 : 8);
    if (view.getUint16(at + 2, true) === 0x0010)
      return { ok: true, value: letters(value, Math.min(length, 64)).replace(/[\0 ]+$/, '') };
    at = value + length;
  }
  if (letters(128, 4) === 'DICM') return refuse('TRANSFER_SYNTAX_MISSING');
  return { ok: true, value: explicit ? '1.2.840.10008.1.2.1' : '1.2.840.10008.1.2' };
}
