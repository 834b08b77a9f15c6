import type { ClipDescription, MachineSays } from '@chordae/contract';
import type { ByteSource, DicomFile, FramePlaces, Picture, Read } from '@chordae/dicom';
import {
  decodePixels,
  decodeStream,
  describeDicom,
  describeStill,
  isOwnStreamKind,
  locateFrames,
  machineSaysNothing,
  readAvi,
  readFrame,
  readJpegHead,
  recognise,
  refuse,
  streamKind,
  throughLevels,
} from '@chordae/dicom';
import { describeAvi, rawAviPicture, wholeAviJpeg } from '../avi-frame';
import { checkDicomJpeg, describeWithPlaces } from '../dicom-frame';
import { lumaFromRgb } from '../luma';
import type { DecodePlatform } from './decode-pack';
import type { FilmPlatform } from './film-here';
import { openFilmHere } from './film-here';
import { blobSource } from './read-header';

/** One byte a pixel, for computing on pictures. */
export interface LumaFrame {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly luma: Uint8Array;
}

/** A picked file opened where it lies, before anything was sent. */
export interface OpenedHere {
  readonly description: ClipDescription;
  readonly machine: MachineSays;
  luma(frame: number): Promise<Read<LumaFrame>>;
}

type Platform = Pick<DecodePlatform, 'bitmapFrom' | 'lumaOf'> & Partial<FilmPlatform>;

/**
 * Opens DICOM (every coding but JPEG 2000, JPEG XL and video), AVI of JPEGs or plain pixels, MP4 and MOV of H.264 where the
 * browser decodes them, JPEG and PNG. All else is refused with READ_AFTER_UPLOAD: the server reads it. Frames are decoded one at a time, when asked for.
 */
export async function openInBrowser(file: Blob, platform: Platform): Promise<Read<OpenedHere>> {
  const source = blobSource(file);
  const format = recognise(await source.read(0, 4096), source.size);
  if (!format.ok) return format;
  if (format.value === 'dicom') return openDicomHere(source, platform);
  if (format.value === 'avi') return openAviHere(source, platform);
  const film = format.value === 'mp4' || format.value === 'mov' ? format.value : null;
  if (film !== null && platform.filmDecoder !== undefined)
    return openFilmHere(source, film, { filmDecoder: platform.filmDecoder });
  if (format.value !== 'jpeg' && format.value !== 'png') return refuse('READ_AFTER_UPLOAD');
  const type = `image/${format.value}`;
  const description = await describeStill(source, format.value);
  if (!description.ok) return description;
  const luma = async () =>
    lumaOfCoded(new Uint8Array(await file.arrayBuffer()), type, platform, description.value);
  return { ok: true, value: { description: description.value, machine: machineSaysNothing, luma } };
}

async function openDicomHere(source: ByteSource, platform: Platform): Promise<Read<OpenedHere>> {
  const file = await describeDicom(source);
  if (!file.ok) return file;
  if (file.value.header.coding === 'video') return refuse('READ_AFTER_UPLOAD');
  const places = await locateFrames(file.value);
  if (!places.ok) return places;
  const luma = (frame: number) => dicomLuma(file.value, places.value, frame, platform);
  const description = describeWithPlaces(file.value, places.value);
  return { ok: true, value: { description, machine: file.value.machine, luma } };
}

async function dicomLuma(
  file: DicomFile,
  places: FramePlaces,
  frame: number,
  platform: Platform,
): Promise<Read<LumaFrame>> {
  const pieces = places.frames[frame];
  if (pieces === undefined)
    return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: places.frames.length });
  const bytes = await readFrame(file.header.source, pieces);
  if (!bytes.ok) return bytes;
  if (file.header.coding !== 'stream') return lumaOfPicture(decodePixels(bytes.value, file));
  const kind = streamKind(bytes.value);
  if (isOwnStreamKind(kind)) return lumaOfPicture(decodeStream(bytes.value, kind, file.layout));
  if (kind !== 'jpeg') return refuse('READ_AFTER_UPLOAD');
  const whole = checkDicomJpeg(bytes.value, file, frame);
  if (!whole.ok) return whole;
  const read = await lumaOfCoded(whole.value, 'image/jpeg', platform, file.layout);
  if (!read.ok || file.layout.grey === null) return read;
  const luma = throughLevels(read.value.luma, file.layout.grey.levels);
  return { ok: true, value: { ...read.value, luma } };
}

async function openAviHere(source: ByteSource, platform: Platform): Promise<Read<OpenedHere>> {
  const avi = await readAvi(source);
  if (!avi.ok) return avi;
  const first = avi.value.frames[0];
  if (avi.value.coding === 'other' || first === undefined) return refuse('READ_AFTER_UPLOAD');
  const luma = async (frame: number): Promise<Read<LumaFrame>> => {
    const piece = avi.value.frames[frame];
    if (piece === undefined)
      return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: avi.value.frames.length });
    const bytes = await readFrame(source, [piece]);
    if (!bytes.ok) return bytes;
    if (avi.value.coding === 'raw') return lumaOfPicture(rawAviPicture(bytes.value, avi.value));
    const whole = wholeAviJpeg(bytes.value, avi.value, frame);
    return whole.ok ? lumaOfCoded(whole.value, 'image/jpeg', platform, avi.value) : whole;
  };
  // Two half pictures in each chunk: only the server's film decoder weaves them.
  if (avi.value.coding === 'mjpeg') {
    const bytes = await readFrame(source, [first]);
    const head = bytes.ok ? readJpegHead(bytes.value) : null;
    if (head !== null && head.heightPx !== avi.value.heightPx) return refuse('READ_AFTER_UPLOAD');
  }
  return {
    ok: true,
    value: { description: describeAvi(avi.value), machine: machineSaysNothing, luma },
  };
}

function lumaOfPicture(read: Read<Picture>): Read<LumaFrame> {
  if (!read.ok) return read;
  const { widthPx, heightPx, channels, pixels } = read.value;
  return { ok: true, value: { widthPx, heightPx, luma: channels === 1 ? pixels : lumaFromRgb(pixels) } };
}

/** By the browser's own decoder; what it cannot open is damaged. */
async function lumaOfCoded(
  bytes: Uint8Array,
  type: string,
  platform: Platform,
  size: { readonly widthPx: number; readonly heightPx: number },
): Promise<Read<LumaFrame>> {
  try {
    const bitmap = await platform.bitmapFrom(bytes, type);
    try {
      const { widthPx, heightPx } = size;
      // A picture that the browser turned by its own marks is not the one that was described.
      if (bitmap.width !== widthPx || bitmap.height !== heightPx) return refuse('FRAME_DAMAGED');
      return { ok: true, value: { widthPx, heightPx, luma: platform.lumaOf(bitmap) } };
    } finally {
      bitmap.close();
    }
  } catch {
    return refuse('FRAME_DAMAGED');
  }
}
