import type { AviFile, Read } from '@chordae/dicom';
import { machineSaysNothing, readAvi, readFrame, readJpegHead, refuse } from '@chordae/dicom';
import { describeAvi, rawAviPicture, wholeAviJpeg } from '../../avi-frame';
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
    return bytes.ok && avi.coding === 'mjpeg' ? wholeAviJpeg(bytes.value, avi, frame) : bytes;
  };
  return {
    description: describeAvi(avi),
    machine: machineSaysNothing,
    async asItCame(frame) {
      if (avi.coding !== 'mjpeg') return { ok: true, value: null };
      const bytes = await coded(frame);
      return bytes.ok ? { ok: true, value: { bytes: bytes.value, encoding: 'jpeg' } } : bytes;
    },
    async picture(frame) {
      const bytes = await coded(frame);
      if (!bytes.ok) return bytes;
      const read =
        avi.coding === 'mjpeg' ? await decodePicture(bytes.value) : rawAviPicture(bytes.value, avi);
      return read.ok || read.problem.code !== 'FRAME_DAMAGED'
        ? read
        : refuse('FRAME_DAMAGED', { frame: frame + 1 });
    },
    close: () => source.close(),
  };
}
