import type { Problem } from '@chordae/contract';
import { code, has, legible } from './attributes';
import type { DataSet } from './data-set';
import { DataSetFault, pixelDataTag, readDataSet, tagName } from './data-set';
import { readMeta } from './meta';
import type { ByteSource, Read } from './source';
import { memorySource, problem, refuse } from './source';
import type { PixelCoding, TransferSyntax } from './transfer-syntax';
import { transferSyntaxOf } from './transfer-syntax';

/** Inflates raw deflate data (RFC 1951) to at most `mostBytes`; null when damaged or longer. Given by the platform. */
export type Inflate = (bytes: Uint8Array, mostBytes: number) => Uint8Array | null;

export interface ReadOptions {
  /** Without it (in the browser) deflated files are refused with READ_AFTER_UPLOAD. */
  readonly inflate?: Inflate;
  /** Takes deflated data that are too large to be held: gives what they inflate to, to be read by range; null when damaged. */
  readonly inflateAside?: (file: ByteSource, from: number) => Promise<ByteSource | null>;
}

export interface DicomHeader {
  readonly dataSet: DataSet;
  readonly transferSyntax: string;
  readonly coding: PixelCoding;
  readonly littleEndian: boolean;
  /** Where the value of Pixel Data (7FE0,0010) begins in `source`. */
  readonly pixelOffset: number;
  /** Bytes; null when the length is undefined (encapsulated). */
  readonly pixelBytes: number | null;
  /** Pixel Data is written as 16-bit words: in big endian the bytes of each pair are swapped. */
  readonly pixelWords: boolean;
  /** What to read pixels from: the file, or the inflated bytes of a deflated one. */
  readonly source: ByteSource;
  readonly problems: readonly Problem[];
}

/** What a file is before anybody asks for its pixels: enough for reports and directories too. */
export interface OpenedDicom {
  readonly dataSet: DataSet;
  readonly uid: string;
  readonly syntax: TransferSyntax;
  readonly source: ByteSource;
  readonly problems: readonly Problem[];
}

const firstSlice = 256 * 1024;
/** A header above this is refused: none of ours is above 1 MB, and all of it is held. */
const largestHeader = 64 * 1024 * 1024;
/** Up to here a deflated file is held whole: headers and stills. */
const largestDeflated = 8 * 1024 * 1024;
const largestInflated = 64 * 1024 * 1024;
const pixelTag = tagName(pixelDataTag);

/**
 * Reads the header, by growing slices, up to Pixel Data.
 * Refuses with TRANSFER_SYNTAX_NOT_YET_READ {name}, DICOM_HEADER_TOO_LARGE, FILE_TRUNCATED, DICOM_DAMAGED.
 */
export async function openDicom(file: ByteSource, options: ReadOptions = {}): Promise<Read<OpenedDicom>> {
  const start = await file.read(0, Math.min(firstSlice, file.size));
  const meta = readMeta(start);
  if (!meta.ok) return meta;
  const { uid, at: metaEnd, guessed } = meta.value;
  const syntax = transferSyntaxOf(uid);
  // What is no UID (PS3.5 9.1) names no coding, and is not quoted to a person.
  if (syntax.coding === null && !/^[\d.]{1,64}$/.test(uid)) return refuse('DICOM_DAMAGED');
  if (syntax.coding === null) return refuse('TRANSFER_SYNTAX_NOT_YET_READ', { name: syntax.name });
  let source = file;
  let at = metaEnd;
  if (syntax.deflated) {
    const inflated = await inflateAll(file, at, options, syntax.name);
    if (!inflated.ok) return inflated;
    source = inflated.value;
    at = 0;
  }
  const problems = guessed ? [problem('TRANSFER_SYNTAX_GUESSED', { name: syntax.name })] : [];
  for (let length = Math.min(firstSlice, source.size); ; length = Math.min(length * 4, source.size)) {
    const slice = await source.read(0, length);
    if (slice.length < length) return refuse('FILE_TRUNCATED');
    const whole = length === source.size;
    const parsed = parse(slice, at, syntax);
    if (parsed.ok && (whole || has(parsed.value, pixelTag)))
      return { ok: true, value: { dataSet: parsed.value, uid, syntax, source, problems } };
    if (whole && !parsed.ok) return parsed;
    if (!parsed.ok && parsed.problem.code === 'DICOM_DAMAGED') return parsed;
    if (length >= largestHeader) return refuse('DICOM_HEADER_TOO_LARGE');
  }
}

function parse(slice: Uint8Array, at: number, syntax: TransferSyntax): Read<DataSet> {
  try {
    return { ok: true, value: readDataSet(slice, at, syntax) };
  } catch (thrown) {
    return refuse((thrown as DataSetFault).kind === 'cut' ? 'FILE_TRUNCATED' : 'DICOM_DAMAGED');
  }
}

async function inflateAll(
  file: ByteSource,
  at: number,
  { inflate, inflateAside }: ReadOptions,
  name: string,
): Promise<Read<ByteSource>> {
  if (inflate === undefined) return refuse('READ_AFTER_UPLOAD', { name });
  const small = file.size - at <= largestDeflated;
  const inflated = small ? inflate(await file.read(at, file.size - at), largestInflated) : null;
  if (inflated !== null) return { ok: true, value: memorySource(inflated) };
  if (!small && inflateAside === undefined) return refuse('DICOM_HEADER_TOO_LARGE');
  const aside = (await inflateAside?.(file, at)) ?? null;
  return aside === null ? refuse('DICOM_DAMAGED') : { ok: true, value: aside };
}

/** As `openDicom`, for a picture: refuses DICOM_NO_PIXELS {modality} and, for a directory, FORMAT_NOT_YET_READ {what}. */
export async function readHeader(file: ByteSource, options: ReadOptions = {}): Promise<Read<DicomHeader>> {
  const opened = await openDicom(file, options);
  if (!opened.ok) return opened;
  const { dataSet, uid, syntax, source, problems } = opened.value;
  if (isDirectory(dataSet)) return refuse('DICOM_DIRECTORY');
  const element = dataSet.elements.get(pixelTag);
  if (element === undefined && has(dataSet, 'x0040a730')) return refuse('DICOM_REPORT');
  if (element === undefined)
    return refuse('DICOM_NO_PIXELS', { modality: legible(code(dataSet, 'x00080060'), 16) });
  const encapsulated = element.undefinedLength;
  // A file whose transfer syntax is missing or wrong still says by itself whether its pixels lie in fragments.
  const coding = encapsulated && syntax.coding === 'native' ? 'stream' : (syntax.coding ?? 'native');
  return {
    ok: true,
    value: {
      dataSet,
      transferSyntax: uid,
      coding,
      littleEndian: syntax.littleEndian,
      pixelOffset: element.offset,
      pixelBytes: encapsulated ? null : element.length,
      pixelWords: element.vr !== 'OB',
      source,
      problems,
    },
  };
}

/** A DICOMDIR: Media Storage Directory (PS3.3 F). */
export function isDirectory(dataSet: DataSet): boolean {
  return code(dataSet, 'x00080016') === '1.2.840.10008.1.3.10' || has(dataSet, 'x00041220');
}
