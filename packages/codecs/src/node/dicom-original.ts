import type { DicomFile, FramePlaces, Picture, Read } from '@chordae/dicom';
import {
  decodePixels,
  decodeStream,
  describeDicom,
  isOwnStreamKind,
  locateFrames,
  pictureOf,
  readFrame,
  refuse,
  streamKind,
  throughLevels,
} from '@chordae/dicom';
import { checkDicomJpeg, describeWithPlaces } from '../dicom-frame';
import type { FileSource } from './file-source';
import { openDicomFilm } from './film/dicom-film';
import { inflate } from './inflate';
import { InflatedFiles } from './inflate-aside';
import { decodeJpeg2000 } from './jpeg-2000';
import { hasJpegXl, hasLosslessXl, jpegOfXl, losslessSamplesOfXl, samplesOfXl, wasJpeg } from './jpeg-xl';
import type { Original } from './original';
import { decodePicture } from './pictures';

/** Opens a DICOM picture or clip: header read, frames located, none decoded. */
export async function openDicomOriginal(original: FileSource): Promise<Read<Original>> {
  const aside = new InflatedFiles();
  const source: FileSource = {
    ...original,
    close: async () => {
      await aside.close();
      await original.close();
    },
  };
  const opened = await openWith(source, aside);
  if (!opened.ok) await aside.close();
  return opened;
}

async function openWith(source: FileSource, aside: InflatedFiles): Promise<Read<Original>> {
  const file = await describeDicom(source, { inflate, inflateAside: aside.inflate });
  if (!file.ok) return file;
  const places = await locateFrames(file.value);
  if (!places.ok) return places;
  if (file.value.header.coding === 'video')
    return openDicomFilm(file.value, places.value.frames[0] ?? [], file.value.description, () =>
      source.close(),
    );
  return { ok: true, value: dicomOriginal(source, file.value, places.value) };
}

function dicomOriginal(source: FileSource, file: DicomFile, places: FramePlaces): Original {
  const { layout, header } = file;
  const unpacked = new UnpackedXl(file.description.transferSyntax ?? 'JPEG XL');
  const coded = async (frame: number): Promise<Read<Uint8Array>> => {
    const pieces = places.frames[frame];
    if (pieces === undefined)
      return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: places.frames.length });
    const bytes = await readFrame(header.source, pieces);
    const packed = bytes.ok && streamKind(bytes.value) === 'jpeg-xl' && wasJpeg(bytes.value);
    return packed ? unpacked.jpeg(frame, bytes.value) : bytes;
  };
  return {
    description: describeWithPlaces(file, places),
    machine: file.machine,
    async asItCame(frame) {
      if (header.coding !== 'stream' || layout.grey !== null) return { ok: true, value: null };
      const bytes = await coded(frame);
      if (!bytes.ok || streamKind(bytes.value) !== 'jpeg')
        return bytes.ok ? { ok: true, value: null } : bytes;
      const checked = checkDicomJpeg(bytes.value, file, frame);
      return checked.ok ? { ok: true, value: { bytes: checked.value, encoding: 'jpeg' } } : checked;
    },
    async picture(frame) {
      const bytes = await coded(frame);
      if (!bytes.ok) return bytes;
      const read =
        header.coding === 'stream'
          ? await fromStream(bytes.value, file, frame)
          : decodePixels(bytes.value, file);
      return read.ok || read.problem.code !== 'FRAME_DAMAGED'
        ? read
        : refuse('FRAME_DAMAGED', { frame: frame + 1 });
    },
    close: () => source.close(),
  };
}

/** JPEGs packed as JPEG XL, the last few kept: a frame is asked for once as it came and once as a picture. */
class UnpackedXl {
  private readonly kept = new Map<number, Promise<Uint8Array | null>>();

  constructor(private readonly name: string) {}

  async jpeg(frame: number, bytes: Uint8Array): Promise<Read<Uint8Array>> {
    if (!hasJpegXl()) return refuse('TRANSFER_SYNTAX_NOT_YET_READ', { name: this.name });
    let asked = this.kept.get(frame);
    if (asked === undefined) {
      asked = jpegOfXl(bytes);
      this.kept.set(frame, asked);
      for (const old of [...this.kept.keys()].slice(0, -4)) this.kept.delete(old);
    }
    const jpeg = await asked;
    return jpeg === null ? refuse('FRAME_DAMAGED', { frame: frame + 1 }) : { ok: true, value: jpeg };
  }
}

/** A frame by what its stream is, whatever the header calls it. */
async function fromStream(bytes: Uint8Array, file: DicomFile, frame: number): Promise<Read<Picture>> {
  const { layout } = file;
  const kind = streamKind(bytes);
  if (isOwnStreamKind(kind)) return decodeStream(bytes, kind, layout);
  if (kind === 'jpeg-2000') {
    const samples = await decodeJpeg2000(bytes, layout);
    return samples.ok ? pictureOf(samples.value, layout) : samples;
  }
  if (kind === 'jpeg-xl') return fromJpegXl(bytes, file);
  if (kind === 'unknown') return refuse('FRAME_DAMAGED');
  const checked = checkDicomJpeg(bytes, file, frame);
  if (!checked.ok) return checked;
  const read = await decodePicture(checked.value);
  if (!read.ok || layout.grey === null) return read;
  return {
    ok: true,
    value: { ...read.value, pixels: throughLevels(read.value.pixels, layout.grey.levels) },
  };
}

/** JPEG XL that was no JPEG before: any by djxl, without it what the file calls lossless (…4.110), of 8 bits. */
async function fromJpegXl(
  bytes: Uint8Array,
  { layout, header, description }: DicomFile,
): Promise<Read<Picture>> {
  if (hasJpegXl()) {
    const samples = await samplesOfXl(bytes);
    return samples === null ? refuse('FRAME_DAMAGED') : pictureOf(samples, layout);
  }
  const plain = header.transferSyntax.endsWith('.4.110') && layout.bitsStored === 8;
  if (!plain || !(await hasLosslessXl()))
    return refuse('TRANSFER_SYNTAX_NOT_YET_READ', { name: description.transferSyntax ?? 'JPEG XL' });
  const samples = await losslessSamplesOfXl(bytes, layout.samples);
  return samples === null ? refuse('FRAME_DAMAGED') : pictureOf(samples, layout);
}
