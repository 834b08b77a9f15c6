import type { ClipDescription, Problem } from '@chordae/contract';
import type { Picture, Read, StillFormat } from '@chordae/dicom';
import { decodeBmp, describeStill, machineSaysNothing, problem, readJpegHead, refuse } from '@chordae/dicom';
import type { FileSource } from './file-source';
import { decodeHeic } from './heic';
import type { Original } from './original';
import { decodePicture, pictureCodec } from './pictures';

const largestStill = 200_000_000;
const mostPages = 500;
const mostPixels = 64_000_000;
/** How long a page of a document stays when it plays, ms; pages are for stepping through. */
export const pageMs = 4000;

/** A picture file: JPEG and PNG are kept as they are where browsers show them rightly, the others are coded anew. */
export async function openStill(source: FileSource, format: StillFormat): Promise<Read<Original>> {
  if (source.size > largestStill) return refuse('FILE_TOO_LARGE', { bytes: source.size });
  if (format === 'jpeg' || format === 'png') return openCommon(source, format);
  const bytes = await source.read(0, source.size);
  if (format !== 'bmp' && format !== 'heic') return openPaged(source, bytes, format);
  const picture = format === 'bmp' ? decodeBmp(bytes) : await decodeHeic(bytes);
  if (!picture.ok) return picture;
  const { widthPx, heightPx } = picture.value;
  const description = describePages(format, widthPx, heightPx, 1, null);
  return { ok: true, value: still(source, description, () => Promise.resolve(picture)) };
}

async function openCommon(source: FileSource, format: 'jpeg' | 'png'): Promise<Read<Original>> {
  const description = await describeStill(source, format);
  if (!description.ok) return description;
  const bytes = await source.read(0, source.size);
  const head = format === 'jpeg' ? readJpegHead(bytes) : null;
  // A turned JPEG is encoded anew, so that pixels mean the same to every reader; so is a CMYK one.
  const plain = head === null || (head.orientation === 1 && head.components !== 4);
  return {
    ok: true,
    value: {
      ...still(source, description.value, () => decodePicture(bytes)),
      asItCame: () => Promise.resolve({ ok: true, value: plain ? { bytes, encoding: format } : null }),
    },
  };
}

/** WebP, TIFF, GIF and AVIF, of one page or several. Pages of another size than the first are refused. */
async function openPaged(
  source: FileSource,
  bytes: Uint8Array,
  format: 'webp' | 'tiff' | 'gif' | 'avif',
): Promise<Read<Original>> {
  const sharp = await pictureCodec();
  const head = await sharp(bytes, { failOn: 'error', limitInputPixels: mostPixels })
    .metadata()
    .catch(() => null);
  if (head === null) return refuse('FRAME_DAMAGED');
  const pages = head.pages ?? 1;
  if (pages > mostPages) return refuse('FRAMES_TOO_MANY', { frames: pages });
  const first = await decodePicture(bytes, 0);
  if (!first.ok) return first;
  const { widthPx, heightPx } = first.value;
  const times = pages > 1 && head.delay !== undefined ? startsOf(head.delay, pages) : null;
  const description = describePages(format, widthPx, heightPx, pages, times);
  const picture = async (page: number): Promise<Read<Picture>> => {
    const read = await decodePicture(bytes, page);
    if (!read.ok) return refuse('FRAME_DAMAGED', { frame: page + 1 });
    const same = read.value.widthPx === widthPx && read.value.heightPx === heightPx;
    const { widthPx: wide, heightPx: high } = read.value;
    return same ? read : refuse('FRAME_SIZE_DIFFERS', { frame: page + 1, widthPx: wide, heightPx: high });
  };
  return { ok: true, value: still(source, description, picture) };
}

function startsOf(delays: readonly number[], pages: number): number[] {
  const times: number[] = [];
  let at = 0;
  for (let page = 0; page < pages; page += 1) {
    times.push(at);
    // Browsers show a delay that is not given as 100 ms (common practice).
    at += (delays[page] ?? 0) > 0 ? (delays[page] ?? 0) : 100;
  }
  return times;
}

function still(
  source: FileSource,
  description: ClipDescription,
  picture: (frame: number) => Promise<Read<Picture>>,
): Original {
  return {
    description,
    machine: machineSaysNothing,
    asItCame: () => Promise.resolve({ ok: true, value: null }),
    picture: (frame) =>
      frame < description.frameCount
        ? picture(frame)
        : Promise.resolve(refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: description.frameCount })),
    close: () => source.close(),
  };
}

/** A still of one or more pages; with times of its own it is a film. */
export function describePages(
  format: ClipDescription['format'],
  widthPx: number,
  heightPx: number,
  pages: number,
  times: readonly number[] | null,
): ClipDescription {
  const problems: Problem[] = [problem('CALIBRATION_MISSING')];
  if (times !== null) problems.push(problem('TIMING_OF_FILM'));
  else if (pages > 1) problems.push(problem('PAGES', { count: pages }));
  return {
    format,
    transferSyntax: null,
    kind: times === null ? 'still' : 'clip',
    widthPx,
    heightPx,
    frameCount: pages,
    frameTimesMs: times === null ? Array.from({ length: pages }, (_, n) => n * pageMs) : [...times],
    timing: times === null ? 'still' : 'film',
    rWaveTimesMs: [],
    regions: [],
    problems,
  };
}
