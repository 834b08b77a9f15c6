import type { ClipDescription, Problem } from '@chordae/contract';
import type { AviFile, Picture, Read } from '@chordae/dicom';
import {
  jpegIsComplete,
  machineSaysNothing,
  problem,
  rawAviPixels,
  readAvi,
  readFrame,
  readJpegHead,
  refuse,
  withHuffmanTables,
} from '@chordae/dicom';
import type { FileSource } from '../file-source';
import type { Original } from '../original';
import { decodePicture } from '../pictures';
import { openFilm } from './film-original';

/** An AVI: motion JPEG is copied frame by frame, raw pixels are read here, everything else goes to the film decoder. */
export async function openAvi(
  source: FileSource,
  path: string,
  firstBytes: Uint8Array,
): Promise<Read<Original>> {
  const avi = await readAvi(source);
  if (!avi.ok) return avi;
  if (avi.value.coding === 'other' || (await isWoven(source, avi.value)))
    return openFilm(path, 'avi', firstBytes, () => source.close());
  return { ok: true, value: aviOriginal(source, avi.value) };
}

/** Two half-height JPEGs in each chunk, or a JPEG that browsers do not show. */
async function isWoven(source: FileSource, avi: AviFile): Promise<boolean> {
  const first = avi.frames[0];
  if (avi.coding !== 'mjpeg' || first === undefined) return false;
  const bytes = await readFrame(source, [first]);
  const head = bytes.ok ? readJpegHead(bytes.value) : null;
  return head !== null && head.heightPx !== avi.heightPx;
}

function aviOriginal(source: FileSource, avi: AviFile): Original {
  const coded = async (frame: number): Promise<Read<Uint8Array>> => {
    const piece = avi.frames[frame];
    if (piece === undefined)
      return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: avi.frames.length });
    const bytes = await readFrame(source, [piece]);
    return bytes.ok && avi.coding === 'mjpeg' ? checkedJpeg(bytes.value, avi, frame) : bytes;
  };
  return {
    description: describe(avi),
    machine: machineSaysNothing,
    async asItCame(frame) {
      if (avi.coding !== 'mjpeg') return { ok: true, value: null };
      const bytes = await coded(frame);
      return bytes.ok ? { ok: true, value: { bytes: bytes.value, encoding: 'jpeg' } } : bytes;
    },
    async picture(frame) {
      const bytes = await coded(frame);
      if (!bytes.ok) return bytes;
      const read = avi.coding === 'mjpeg' ? await decodePicture(bytes.value) : rawPicture(bytes.value, avi);
      return read.ok || read.problem.code !== 'FRAME_DAMAGED'
        ? read
        : refuse('FRAME_DAMAGED', { frame: frame + 1 });
    },
    close: () => source.close(),
  };
}

function rawPicture(bytes: Uint8Array, avi: AviFile): Read<Picture> {
  const pixels = rawAviPixels(bytes, avi);
  if (pixels === null) return refuse('FRAME_DAMAGED');
  return { ok: true, value: { widthPx: avi.widthPx, heightPx: avi.heightPx, channels: 3, pixels } };
}

function checkedJpeg(bytes: Uint8Array, avi: AviFile, frame: number): Read<Uint8Array> {
  const whole = withHuffmanTables(bytes);
  const head = readJpegHead(whole);
  if (head === null || !jpegIsComplete(whole) || head.process > 2 || head.precision !== 8)
    return refuse('FRAME_DAMAGED', { frame: frame + 1 });
  if (head.widthPx !== avi.widthPx || head.heightPx !== avi.heightPx)
    return refuse('FRAME_SIZE_DIFFERS', { frame: frame + 1, widthPx: head.widthPx, heightPx: head.heightPx });
  return { ok: true, value: whole };
}

function describe(avi: AviFile): ClipDescription {
  const frameCount = avi.frames.length;
  const single = frameCount === 1;
  const problems: Problem[] = [problem('CALIBRATION_MISSING')];
  if (!single) problems.push(problem('TIMING_OF_FILM'));
  if (avi.repeated > 0) problems.push(problem('FRAMES_REPEATED', { count: avi.repeated }));
  return {
    format: 'avi',
    transferSyntax: avi.coding === 'mjpeg' ? 'Motion JPEG' : 'uncompressed',
    kind: single ? 'still' : 'clip',
    widthPx: avi.widthPx,
    heightPx: avi.heightPx,
    frameCount,
    frameTimesMs: avi.frames.map((_, n) => Math.round(n * avi.stepMs * 1000) / 1000),
    timing: single ? 'still' : 'film',
    rWaveTimesMs: [],
    regions: [],
    problems,
  };
}
