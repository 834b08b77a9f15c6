import type { Read } from '@chordae/dicom';
import { refuse } from '@chordae/dicom';
import type { FilmHeader } from './film-decoder';
import { mostFrames } from './run-arguments';

/** What is asked of ffprobe before a film is decoded; its answer goes through `readHeader`. */
export const headerEntries =
  'stream=codec_name,width,height,sample_aspect_ratio,field_order,pix_fmt,color_range,color_space,nb_frames:stream_side_data=rotation:stream_tags=rotate';

interface ProbeStream {
  readonly codec_name?: string;
  readonly width?: number;
  readonly height?: number;
  readonly sample_aspect_ratio?: string;
  readonly field_order?: string;
  readonly pix_fmt?: string;
  readonly color_range?: string;
  readonly color_space?: string;
  readonly nb_frames?: string;
  readonly side_data_list?: readonly { readonly rotation?: number }[];
  readonly tags?: { readonly rotate?: string };
}

const widestPx = 8192;

/** Reads ffprobe's JSON. Refuses FILM_DAMAGED, FILM_WITHOUT_PICTURE, FRAMES_TOO_MANY, PICTURE_TOO_LARGE. */
export function readHeader(json: string): Read<FilmHeader> {
  let probe: { readonly streams?: readonly ProbeStream[] };
  try {
    probe = JSON.parse(json) as typeof probe;
  } catch {
    return refuse('FILM_DAMAGED');
  }
  // Nothing at all: it could not be opened. A list without a film in it: sound only.
  if (probe.streams === undefined) return refuse('FILM_DAMAGED');
  const stream = probe.streams[0];
  if (stream === undefined) return refuse('FILM_WITHOUT_PICTURE');
  // It names a film that no decoder knows.
  if (stream.codec_name === undefined) return refuse('FILM_DAMAGED');
  const { width = 0, height = 0 } = stream;
  const large = tooLarge(width, height);
  if (large !== null) return large;
  const frames = Number(stream.nb_frames);
  if (frames > mostFrames) return refuse('FRAMES_TOO_MANY', { frames });
  return {
    ok: true,
    value: {
      codedWidthPx: width,
      codedHeightPx: height,
      codec: stream.codec_name,
      frameCount: frames > 0 ? frames : null,
      turnedDegrees: turnedBy(
        stream.side_data_list?.find((data) => data.rotation !== undefined)?.rotation,
        stream.tags?.rotate,
      ),
      interlaced: ['tt', 'bb', 'tb', 'bt'].includes(stream.field_order ?? ''),
      pixelAspect: aspectOf(stream.sample_aspect_ratio),
      yuv: yuvOf(stream),
    },
  };
}

/** The refusal of what is larger than we open; null where it is not. */
export function tooLarge(widthPx: number, heightPx: number): ReturnType<typeof refuse> | null {
  return widthPx > widestPx || heightPx > widestPx
    ? refuse('PICTURE_TOO_LARGE', { widthPx, heightPx })
    : null;
}

/** Colour that is turned into RGB here: what is not said is BT.601 and limited, as the decoder takes it too. */
function yuvOf({
  pix_fmt: pixelFormat,
  color_range: range = 'unknown',
  color_space: space = 'unknown',
}: ProbeStream): FilmHeader['yuv'] {
  if (pixelFormat !== 'yuv420p' && pixelFormat !== 'yuvj420p') return null;
  if (!['unknown', 'tv', 'pc'].includes(range)) return null;
  const matrix = space === 'bt709' ? 709 : ['unknown', 'smpte170m', 'bt470bg'].includes(space) ? 601 : null;
  if (matrix === null) return null;
  return { pixelFormat, matrix, fullRange: pixelFormat === 'yuvj420p' || range === 'pc' };
}

/** The display matrix gives degrees counter-clockwise, the older tag clockwise. */
function turnedBy(rotation: number | undefined, tag: string | undefined): number {
  const degrees = rotation === undefined ? Number(tag ?? 0) : -rotation;
  return Number.isFinite(degrees) ? (((Math.round(degrees / 90) * 90) % 360) + 360) % 360 : 0;
}

function aspectOf(text: string | undefined): number {
  const [wide = Number.NaN, high = Number.NaN] = (text ?? '').split(':').map(Number);
  return wide > 0 && high > 0 ? wide / high : 1;
}
