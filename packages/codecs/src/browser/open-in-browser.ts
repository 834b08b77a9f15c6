import type { ClipDescription, MachineSays } from '@chordae/contract';
import type { ByteSource, DicomFile, FramePlaces, Read } from '@chordae/dicom';
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
import { lumaFromRgb, lumaFromRgba } from '../luma';
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

/** One frame as it is shown, 8 bits a sample: grey (1), RGB (3) or RGB with a byte that says nothing (4). */
export interface ShownFrame {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly channels: 1 | 3 | 4;
  readonly pixels: Uint8Array | Uint8ClampedArray;
}

/** A picked file opened where it lies, before anything was sent. */
export interface OpenedHere {
  readonly description: ClipDescription;
  readonly machine: MachineSays;
  luma(frame: number): Promise<Read<LumaFrame>>;
  shown(frame: number): Promise<Read<ShownFrame>>;
  /** Lets the decoder of a film go, once what was asked has come; nothing is asked afterwards. */
  close(): Promise<void>;
}

type Platform = Pick<DecodePlatform, 'bitmapFrom' | 'rgbaOf'> & Partial<FilmPlatform>;

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
  const shown = async () =>
    shownOfCoded(new Uint8Array(await file.arrayBuffer()), type, platform, description.value);
  return opened(description.value, machineSaysNothing, shown);
}

function opened(
  description: ClipDescription,
  machine: MachineSays,
  shown: OpenedHere['shown'],
): Read<OpenedHere> {
  const luma = async (frame: number) => lumaOfShown(await shown(frame));
  // Nothing is kept between two frames.
  const close = () => Promise.resolve();
  return { ok: true, value: { description, machine, luma, shown, close } };
}

async function openDicomHere(source: ByteSource, platform: Platform): Promise<Read<OpenedHere>> {
  const file = await describeDicom(source);
  if (!file.ok) return file;
  if (file.value.header.coding === 'video') return refuse('READ_AFTER_UPLOAD');
  const places = await locateFrames(file.value);
  if (!places.ok) return places;
  const shown = (frame: number) => dicomShown(file.value, places.value, frame, platform);
  return opened(describeWithPlaces(file.value, places.value), file.value.machine, shown);
}

async function dicomShown(
  file: DicomFile,
  places: FramePlaces,
  frame: number,
  platform: Platform,
): Promise<Read<ShownFrame>> {
  const pieces = places.frames[frame];
  if (pieces === undefined)
    return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: places.frames.length });
  const bytes = await readFrame(file.header.source, pieces);
  if (!bytes.ok) return bytes;
  if (file.header.coding !== 'stream') return decodePixels(bytes.value, file);
  const kind = streamKind(bytes.value);
  if (isOwnStreamKind(kind)) return decodeStream(bytes.value, kind, file.layout);
  if (kind !== 'jpeg') return refuse('READ_AFTER_UPLOAD');
  const whole = checkDicomJpeg(bytes.value, file, frame);
  if (!whole.ok) return whole;
  const read = await shownOfCoded(whole.value, 'image/jpeg', platform, file.layout);
  if (!read.ok || file.layout.grey === null) return read;
  const { widthPx, heightPx, pixels } = read.value;
  const grey = throughLevels(lumaFromRgba(pixels), file.layout.grey.levels);
  return { ok: true, value: { widthPx, heightPx, channels: 1, pixels: grey } };
}

async function openAviHere(source: ByteSource, platform: Platform): Promise<Read<OpenedHere>> {
  const avi = await readAvi(source);
  if (!avi.ok) return avi;
  const first = avi.value.frames[0];
  if (avi.value.coding === 'other' || first === undefined) return refuse('READ_AFTER_UPLOAD');
  const shown = async (frame: number): Promise<Read<ShownFrame>> => {
    const piece = avi.value.frames[frame];
    if (piece === undefined)
      return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: avi.value.frames.length });
    const bytes = await readFrame(source, [piece]);
    if (!bytes.ok) return bytes;
    if (avi.value.coding === 'raw') return rawAviPicture(bytes.value, avi.value);
    const whole = wholeAviJpeg(bytes.value, avi.value, frame);
    return whole.ok ? shownOfCoded(whole.value, 'image/jpeg', platform, avi.value) : whole;
  };
  // Two half pictures in each chunk: only the server's film decoder weaves them.
  if (avi.value.coding === 'mjpeg') {
    const bytes = await readFrame(source, [first]);
    const head = bytes.ok ? readJpegHead(bytes.value) : null;
    if (head !== null && head.heightPx !== avi.value.heightPx) return refuse('READ_AFTER_UPLOAD');
  }
  return opened(describeAvi(avi.value), machineSaysNothing, shown);
}

const asBytes = (pixels: Uint8Array | Uint8ClampedArray) =>
  new Uint8Array(pixels.buffer, pixels.byteOffset, pixels.length);

function lumaOfShown(read: Read<ShownFrame>): Read<LumaFrame> {
  if (!read.ok) return read;
  const { widthPx, heightPx, channels, pixels } = read.value;
  const weigh = channels === 3 ? lumaFromRgb : lumaFromRgba;
  return {
    ok: true,
    value: { widthPx, heightPx, luma: channels === 1 ? asBytes(pixels) : weigh(pixels) },
  };
}

/** By the browser's own decoder; what it cannot open is damaged. */
async function shownOfCoded(
  bytes: Uint8Array,
  type: string,
  platform: Platform,
  size: { readonly widthPx: number; readonly heightPx: number },
): Promise<Read<ShownFrame>> {
  try {
    const bitmap = await platform.bitmapFrom(bytes, type);
    try {
      const { widthPx, heightPx } = size;
      // A picture that the browser turned by its own marks is not the one that was described.
      if (bitmap.width !== widthPx || bitmap.height !== heightPx) return refuse('FRAME_DAMAGED');
      return { ok: true, value: { widthPx, heightPx, channels: 4, pixels: platform.rgbaOf(bitmap) } };
    } finally {
      bitmap.close();
    }
  } catch {
    return refuse('FRAME_DAMAGED');
  }
}
