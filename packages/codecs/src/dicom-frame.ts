import type { ClipDescription, Problem } from '@chordae/contract';
import type { DicomFile, FramePlaces, Read } from '@chordae/dicom';
import { jpegIsComplete, readJpegHead, refuse } from '@chordae/dicom';

/** What the header says, and what only the frames' places tell. */
export function describeWithPlaces(file: DicomFile, places: FramePlaces): ClipDescription {
  const more: Problem[] = [];
  if (places.surplus > 0) more.push({ code: 'FRAMES_MORE_THAN_DECLARED', data: { surplus: places.surplus } });
  if (places.unended) more.push({ code: 'PIXELS_WITHOUT_END', data: {} });
  return { ...file.description, problems: [...file.description.problems, ...more] };
}

/** A JPEG frame must be complete, 8 bits, sequential or progressive, without a palette, and as large as the header says. */
export function checkDicomJpeg(bytes: Uint8Array, { layout }: DicomFile, frame: number): Read<Uint8Array> {
  const head = readJpegHead(bytes);
  if (head === null || !jpegIsComplete(bytes)) return refuse('FRAME_DAMAGED', { frame: frame + 1 });
  if (layout.palette !== null)
    return refuse('COLOUR_NOT_YET_READ', { photometric: 'PALETTE COLOR in lossy JPEG' });
  if (layout.grey !== null && layout.bitsStored !== 8 && head.precision === 8)
    return refuse('PIXEL_DEPTH_NOT_YET_READ', { bits: layout.bitsStored });
  if (head.process > 2 || head.precision !== 8 || (head.components !== 1 && head.components !== 3))
    return refuse('TRANSFER_SYNTAX_NOT_YET_READ', {
      name:
        head.precision === 8
          ? `JPEG process ${head.process}`
          : `JPEG of ${head.precision} bits${head.components === 1 ? '' : ' in colour'}`,
    });
  if (head.widthPx !== layout.widthPx || head.heightPx !== layout.heightPx)
    return refuse('FRAME_SIZE_DIFFERS', { frame: frame + 1, widthPx: head.widthPx, heightPx: head.heightPx });
  return { ok: true, value: bytes };
}
