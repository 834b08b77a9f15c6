import type { ClipDescription, MachineSays, Problem } from '@chordae/contract';
import { code, decimal, has, legible, uint16 } from './attributes';
import type { DataSet } from './data-set';
import type { GreyLevels } from './grey';
import { readGreyLevels } from './grey';
import type { DicomHeader, ReadOptions } from './header';
import { readHeader } from './header';
import { readMachineSays } from './machine';
import type { Palette } from './palette';
import { readPalette } from './palette';
import { readRegions } from './regions';
import type { ByteSource, Read } from './source';
import { problem, refuse } from './source';
import { readTiming } from './timing';
import { transferSyntaxOf } from './transfer-syntax';

export type Photometric =
  | 'MONOCHROME1'
  | 'MONOCHROME2'
  | 'RGB'
  | 'YBR_FULL'
  | 'YBR_FULL_422'
  | 'PALETTE COLOR';

/** How the pixels of a file lie, checked to be within what this reader takes. */
export interface PixelLayout {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly frameCount: number;
  readonly samples: 1 | 3;
  readonly bytesPerSample: 1 | 2;
  /** Bits that hold a sample's value, from the lowest on. */
  readonly bitsStored: number;
  readonly photometric: Photometric;
  readonly planar: boolean;
  readonly palette: Palette | null;
  /** Where a stored value's lowest bit lies in its word: 0 but for old writers. */
  readonly lowBit: number;
  /** Grey values below zero are meant: two's complement of `bitsStored`. */
  readonly signed: boolean;
  /** Levels of a grey picture that are not its stored values; null for colour, and for 8-bit grey shown as it is. */
  readonly grey: GreyLevels | null;
}

export interface DicomFile {
  readonly header: DicomHeader;
  readonly layout: PixelLayout;
  readonly description: ClipDescription;
  readonly machine: MachineSays;
}

/** Limits against hostile headers; ours. */
const widestPx = 8192;
const mostFrames = 20_000;

/** Bytes of one frame as it lies in a native file. */
export function nativeFrameBytes(layout: PixelLayout): number {
  const pixels = layout.widthPx * layout.heightPx;
  if (layout.photometric === 'YBR_FULL_422') return pixels * 2;
  return pixels * layout.samples * layout.bytesPerSample;
}

/**
 * Reads the header and says what the file holds; touches no pixel. A native file that is shorter than its header
 * promises is refused here (FILE_TRUNCATED), an encapsulated one when its frames are located.
 */
export async function describeDicom(file: ByteSource, options: ReadOptions = {}): Promise<Read<DicomFile>> {
  const header = await readHeader(file, options);
  if (!header.ok) return header;
  const { dataSet, source } = header.value;
  const layout = readLayout(dataSet, header.value);
  if (!layout.ok) return layout;
  const { widthPx, heightPx, frameCount } = layout.value;
  const problems: Problem[] = [...header.value.problems];
  if (header.value.coding === 'native') {
    const wanted = nativeFrameBytes(layout.value) * frameCount;
    const has = Math.min(header.value.pixelBytes ?? 0, source.size - header.value.pixelOffset);
    if (has < wanted) return refuse('FILE_TRUNCATED', { wantedBytes: wanted, foundBytes: Math.max(0, has) });
    if ((header.value.pixelBytes ?? 0) > wanted + (wanted % 2))
      problems.push(problem('PIXELS_MORE_THAN_DECLARED'));
  } else if (header.value.pixelBytes !== null) return refuse('DICOM_DAMAGED');
  const { regions, problems: regionProblems } = readRegions(dataSet, widthPx, heightPx);
  const { problems: timeProblems, ...times } = readTiming(dataSet, frameCount);
  if (regions.length === 0) problems.push(problem('CALIBRATION_MISSING'));
  const overlays = countOverlays(dataSet);
  if (overlays > 0) problems.push(problem('OVERLAYS_NOT_SHOWN', { count: overlays }));
  const description: ClipDescription = {
    format: 'dicom',
    transferSyntax: transferSyntaxOf(header.value.transferSyntax).name,
    kind: frameCount > 1 ? 'clip' : 'still',
    widthPx,
    heightPx,
    frameCount,
    ...times,
    regions,
    problems: [...problems, ...(layout.value.grey?.problems ?? []), ...regionProblems, ...timeProblems],
  };
  return {
    ok: true,
    value: { header: header.value, layout: layout.value, description, machine: readMachineSays(dataSet) },
  };
}

/**
 * Overlay planes (PS3.3 C.9.2): groups 6000 to 601E that bring bits of their own (60xx,3000), or say at which bit of the
 * pixels they lie, as older writers did (60xx,0102). Lines and text in them may name a patient: they are never drawn.
 */
function countOverlays(dataSet: DataSet): number {
  let count = 0;
  for (let group = 0x6000; group <= 0x601e; group += 2) {
    const of = (element: string): string => `x${group.toString(16)}${element}`;
    if (has(dataSet, of('3000')) || (uint16(dataSet, of('0102')) ?? 0) > 0) count += 1;
  }
  return count;
}

const photometrics: readonly string[] = [
  'MONOCHROME1',
  'MONOCHROME2',
  'RGB',
  'YBR_FULL',
  'YBR_FULL_422',
  'PALETTE COLOR',
];

function readLayout(dataSet: DataSet, header: DicomHeader): Read<PixelLayout> {
  const heightPx = uint16(dataSet, 'x00280010') ?? 0;
  const widthPx = uint16(dataSet, 'x00280011') ?? 0;
  if (heightPx === 0 || widthPx === 0) return refuse('PICTURE_SIZE_MISSING');
  if (heightPx > widestPx || widthPx > widestPx) return refuse('PICTURE_TOO_LARGE', { widthPx, heightPx });
  const declared = code(dataSet, 'x00280008');
  const frameCount = declared === null ? 1 : (decimal(dataSet, 'x00280008') ?? Number.NaN);
  if (!Number.isInteger(frameCount) || frameCount < 1)
    return refuse('FRAME_COUNT_IMPLAUSIBLE', { value: legible(declared, 32) });
  if (frameCount > mostFrames) return refuse('FRAMES_TOO_MANY', { frames: frameCount });
  const samples = uint16(dataSet, 'x00280002') ?? 1;
  const colour = photometricOf(dataSet, samples, header);
  if (!colour.ok) return colour;
  const photometric = colour.value;
  const allocated = uint16(dataSet, 'x00280100') ?? 0;
  const stored = uint16(dataSet, 'x00280101') ?? allocated;
  const indexed = photometric === 'PALETTE COLOR';
  if (allocated !== 8 && allocated !== 16) return refuse('PIXEL_DEPTH_NOT_YET_READ', { bits: allocated });
  if (!indexed && (stored < 8 || stored > allocated))
    return refuse('PIXEL_DEPTH_NOT_YET_READ', { bits: stored });
  if (photometric === 'YBR_FULL_422' && header.coding === 'native' && allocated !== 8)
    return refuse('PIXEL_DEPTH_NOT_YET_READ', { bits: allocated });
  if (photometric === 'YBR_FULL_422' && header.coding === 'native' && widthPx % 2 === 1)
    return refuse('DICOM_DAMAGED');
  const grey = photometric === 'MONOCHROME1' || photometric === 'MONOCHROME2';
  // Of signed colour nothing is known.
  const signed = grey && uint16(dataSet, 'x00280103') === 1;
  const highBit = uint16(dataSet, 'x00280102') ?? stored - 1;
  const palette = indexed ? readPalette(dataSet) : null;
  if (indexed && palette === null) return refuse('PALETTE_MISSING');
  return {
    ok: true,
    value: {
      widthPx,
      heightPx,
      frameCount,
      samples: samples === 3 ? 3 : 1,
      bytesPerSample: allocated === 16 ? 2 : 1,
      bitsStored: stored,
      photometric,
      planar: uint16(dataSet, 'x00280006') === 1,
      palette,
      lowBit: grey ? Math.min(allocated - stored, Math.max(0, highBit + 1 - stored)) : 0,
      signed,
      grey: grey
        ? readGreyLevels(dataSet, {
            bitsStored: stored,
            signed,
            inverted: photometric === 'MONOCHROME1',
          })
        : null,
    },
  };
}

function photometricOf(dataSet: DataSet, samples: number, header: DicomHeader): Read<Photometric> {
  const says = code(dataSet, 'x00280004') ?? '';
  if (!photometrics.includes(says)) {
    // In a JPEG stream the declared value is only a hint: PS3.5 8.2.1; the stream itself says what it is.
    if (header.coding === 'stream' || header.coding === 'video')
      // YBR_RCT and YBR_ICT are undone by the JPEG 2000 codec itself.
      return { ok: true, value: samples === 3 ? 'RGB' : 'MONOCHROME2' };
    return refuse('COLOUR_NOT_YET_READ', { photometric: legible(says, 32) });
  }
  const single = says.startsWith('MONOCHROME') || says === 'PALETTE COLOR';
  if (samples !== (single ? 1 : 3)) return refuse('DICOM_DAMAGED');
  return { ok: true, value: says as Photometric };
}
