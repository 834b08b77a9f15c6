import type { ClipDescription, MachineSays } from '@chordae/contract';
import type { DicomFile, FramePlaces, Picture, Read } from '@chordae/dicom';
import {
  decodePixels,
  describeDicom,
  describeStill,
  jpegIsComplete,
  locateFrames,
  machineSaysNothing,
  readFrame,
  readJpegHead,
  recognise,
  refuse,
} from '@chordae/dicom';
import type { FrameEncoding } from '../pack/frame-pack';
import type { FileSource } from './file-source';
import { openFileSource } from './file-source';
import { decodePicture } from './pictures';

/** The decoder behind one interface: whatever an original is, it has a description and frames. */
export interface Original {
  readonly description: ClipDescription;
  readonly machine: MachineSays;
  /** The frame as it came, when browsers show those very bytes rightly; null when it has to be encoded anew. */
  asItCame(
    frame: number,
  ): Promise<Read<{ readonly bytes: Uint8Array; readonly encoding: FrameEncoding } | null>>;
  picture(frame: number): Promise<Read<Picture>>;
  close(): Promise<void>;
}

/** Recognises and opens an original. */
export async function openOriginal(path: string): Promise<Read<Original>> {
  const source = await openFileSource(path);
  const opened = await open(source);
  if (!opened.ok) await source.close();
  return opened;
}

async function open(source: FileSource): Promise<Read<Original>> {
  const format = recognise(await source.read(0, 4096), source.size);
  if (!format.ok) return format;
  if (format.value !== 'dicom') return openStill(source, format.value);
  const file = await describeDicom(source);
  if (!file.ok) return file;
  const places = await locateFrames(source, file.value);
  return places.ok ? { ok: true, value: dicomOriginal(source, file.value, places.value) } : places;
}

const largestStill = 200_000_000;

async function openStill(source: FileSource, format: 'jpeg' | 'png'): Promise<Read<Original>> {
  const description = await describeStill(source, format);
  if (!description.ok) return description;
  if (source.size > largestStill) return refuse('FILE_TOO_LARGE', { bytes: source.size });
  const bytes = await source.read(0, source.size);
  const head = format === 'jpeg' ? readJpegHead(bytes) : null;
  // A turned JPEG is encoded anew, so that pixels mean the same to every reader; so is a CMYK one.
  const plain = head === null || (head.orientation === 1 && head.components !== 4);
  return {
    ok: true,
    value: {
      description: description.value,
      machine: machineSaysNothing,
      asItCame: () => Promise.resolve({ ok: true, value: plain ? { bytes, encoding: format } : null }),
      picture: () => decodePicture(bytes),
      close: () => source.close(),
    },
  };
}

function dicomOriginal(source: FileSource, file: DicomFile, places: FramePlaces): Original {
  const { layout, header } = file;
  const coded = (frame: number): Promise<Read<Uint8Array>> => {
    const pieces = places.frames[frame];
    return pieces === undefined
      ? Promise.resolve(refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: places.frames.length }))
      : readFrame(source, pieces);
  };
  const checkedJpeg = async (frame: number): Promise<Read<Uint8Array>> => {
    const bytes = await coded(frame);
    return bytes.ok ? checkJpeg(bytes.value, layout.widthPx, layout.heightPx, frame) : bytes;
  };
  const numbered = (read: Read<Picture>, frame: number): Read<Picture> =>
    read.ok || read.problem.code !== 'FRAME_DAMAGED' ? read : refuse('FRAME_DAMAGED', { frame: frame + 1 });
  const description: ClipDescription =
    places.surplus === 0
      ? file.description
      : {
          ...file.description,
          problems: [
            ...file.description.problems,
            { code: 'FRAMES_MORE_THAN_DECLARED', data: { surplus: places.surplus } },
          ],
        };
  return {
    description,
    machine: file.machine,
    async asItCame(frame) {
      if (header.coding !== 'jpeg' || layout.photometric === 'MONOCHROME1') return { ok: true, value: null };
      const bytes = await checkedJpeg(frame);
      return bytes.ok ? { ok: true, value: { bytes: bytes.value, encoding: 'jpeg' } } : bytes;
    },
    async picture(frame) {
      if (header.coding === 'jpeg') {
        const bytes = await checkedJpeg(frame);
        if (!bytes.ok) return bytes;
        const read = numbered(await decodePicture(bytes.value), frame);
        if (!read.ok || layout.photometric !== 'MONOCHROME1') return read;
        return { ok: true, value: { ...read.value, pixels: read.value.pixels.map((value) => 255 - value) } };
      }
      const bytes = await coded(frame);
      return bytes.ok ? numbered(decodePixels(bytes.value, layout, header.coding), frame) : bytes;
    },
    close: () => source.close(),
  };
}

/** A JPEG frame must be complete, 8 bits, sequential or progressive, and as large as the header says. */
function checkJpeg(bytes: Uint8Array, widthPx: number, heightPx: number, frame: number): Read<Uint8Array> {
  const head = readJpegHead(bytes);
  if (head === null || !jpegIsComplete(bytes)) return refuse('FRAME_DAMAGED', { frame: frame + 1 });
  if (head.process > 2 || head.precision !== 8 || (head.components !== 1 && head.components !== 3))
    return refuse('TRANSFER_SYNTAX_NOT_YET_READ', {
      name: `JPEG process ${head.process}, ${head.precision} bits`,
    });
  if (head.widthPx !== widthPx || head.heightPx !== heightPx)
    return refuse('FRAME_SIZE_DIFFERS', { frame: frame + 1, widthPx: head.widthPx, heightPx: head.heightPx });
  return { ok: true, value: bytes };
}
