import type { ClipDescription, Problem } from '@chordae/contract';
import type { AviFile, Picture, Read } from '@chordae/dicom';
import {
  jpegIsComplete,
  problem,
  rawAviPixels,
  readJpegHead,
  refuse,
  withHuffmanTables,
} from '@chordae/dicom';

/** A frame of rows of pixels. Refuses FRAME_DAMAGED. */
export function rawAviPicture(bytes: Uint8Array, avi: AviFile): Read<Picture> {
  const pixels = rawAviPixels(bytes, avi);
  if (pixels === null) return refuse('FRAME_DAMAGED');
  return { ok: true, value: { widthPx: avi.widthPx, heightPx: avi.heightPx, channels: 3, pixels } };
}

/** A motion JPEG frame with its tables, as browsers show it. Refuses FRAME_DAMAGED, FRAME_SIZE_DIFFERS. */
export function wholeAviJpeg(bytes: Uint8Array, avi: AviFile, frame: number): Read<Uint8Array> {
  const whole = withHuffmanTables(bytes);
  const head = readJpegHead(whole);
  if (head === null || !jpegIsComplete(whole) || head.process > 2 || head.precision !== 8)
    return refuse('FRAME_DAMAGED', { frame: frame + 1 });
  if (head.widthPx !== avi.widthPx || head.heightPx !== avi.heightPx)
    return refuse('FRAME_SIZE_DIFFERS', { frame: frame + 1, widthPx: head.widthPx, heightPx: head.heightPx });
  return { ok: true, value: whole };
}

/** An AVI whose frames are read here: it has times of a film and no calibration. */
export function describeAvi(avi: AviFile): ClipDescription {
  const frameCount = avi.frames.length;
  const single = frameCount === 1;
  const problems: Problem[] = [problem('CALIBRATION_MISSING')];
  if (!single) problems.push(problem('TIMING_OF_FILM'));
  if (avi.repeated > 0) problems.push(problem('FRAMES_DROPPED', { count: avi.repeated }));
  return {
    format: 'avi',
    transferSyntax: avi.coding === 'mjpeg' ? 'Motion JPEG' : 'uncompressed',
    kind: single ? 'still' : 'clip',
    widthPx: avi.widthPx,
    heightPx: avi.heightPx,
    frameCount,
    frameTimesMs: avi.starts.map((start) => Math.round(start * avi.stepMs * 1000) / 1000),
    timing: single ? 'still' : 'film',
    rWaveTimesMs: [],
    regions: [],
    problems,
  };
}
