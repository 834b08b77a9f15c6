import type { Read } from '@chordae/dicom';
import { refuse } from '@chordae/dicom';
import type { FilmHead } from './film-decoder';

/** What is asked of ffprobe; its answer goes through `readProbe`. */
export const probeEntries =
  'stream=codec_name,width,height,sample_aspect_ratio,field_order,pix_fmt,color_range,color_space:stream_side_data=rotation:stream_tags=rotate:frame=best_effort_timestamp_time,width,height,interlaced_frame,pkt_size,pkt_duration_time,duration_time';

interface ProbeFrame {
  readonly best_effort_timestamp_time?: string;
  readonly width?: number;
  readonly height?: number;
  readonly interlaced_frame?: number;
  readonly pkt_size?: string;
  /** The older and the newer name. */
  readonly pkt_duration_time?: string;
  readonly duration_time?: string;
}

interface Probe {
  readonly streams?: readonly {
    readonly codec_name?: string;
    readonly width?: number;
    readonly height?: number;
    readonly sample_aspect_ratio?: string;
    readonly pix_fmt?: string;
    readonly color_range?: string;
    readonly color_space?: string;
    readonly side_data_list?: readonly { readonly rotation?: number }[];
    readonly tags?: { readonly rotate?: string };
  }[];
  readonly frames?: readonly ProbeFrame[];
}

const widestPx = 8192;
const mostFrames = 20_000;

/** Reads ffprobe's JSON. Refuses FILM_DAMAGED, FILM_WITHOUT_PICTURE, FRAMES_TOO_MANY, PICTURE_TOO_LARGE, FRAME_SIZE_DIFFERS. */
export function readProbe(json: string): Read<FilmHead> {
  let probe: Probe;
  try {
    probe = JSON.parse(json) as Probe;
  } catch {
    return refuse('FILM_DAMAGED');
  }
  // Nothing at all: it could not be opened. A list without a film in it: sound only.
  if (probe.streams === undefined) return refuse('FILM_DAMAGED');
  const stream = probe.streams[0];
  if (stream === undefined) return refuse('FILM_WITHOUT_PICTURE');
  const frames = (probe.frames ?? []).filter((frame) => frame.width !== undefined);
  const first = frames[0];
  // It names a film, of which not one picture could be unpacked.
  if (stream.codec_name === undefined || first === undefined) return refuse('FILM_DAMAGED');
  const { width = 0, height = 0 } = first;
  if (width < 1 || height < 1) return refuse('FILM_DAMAGED');
  if (width > widestPx || height > widestPx)
    return refuse('PICTURE_TOO_LARGE', { widthPx: width, heightPx: height });
  if (frames.length > mostFrames) return refuse('FRAMES_TOO_MANY', { frames: frames.length });
  const other = frames.findIndex((frame) => frame.width !== width || frame.height !== height);
  if (other > 0)
    return refuse('FRAME_SIZE_DIFFERS', {
      frame: other + 1,
      widthPx: frames[other]?.width ?? 0,
      heightPx: frames[other]?.height ?? 0,
    });
  const turned = turnedBy(
    stream.side_data_list?.find((data) => data.rotation !== undefined)?.rotation,
    stream.tags?.rotate,
  );
  const upright = turned % 180 === 0;
  return {
    ok: true,
    value: {
      widthPx: upright ? width : height,
      heightPx: upright ? height : width,
      codec: stream.codec_name,
      frameTimesMs: timesOf(frames),
      frameCount: frames.length,
      frameBytes: frames.map((frame) => Number(frame.pkt_size ?? Number.NaN)),
      turnedDegrees: turned,
      interlaced: frames.some((frame) => frame.interlaced_frame === 1),
      pixelAspect: aspectOf(stream.sample_aspect_ratio),
      yuv: yuvOf(stream),
    },
  };
}

/** Colour that is turned into RGB here: what is not said is BT.601 and limited, as the decoder takes it too. */
function yuvOf(stream: {
  readonly pix_fmt?: string;
  readonly color_range?: string;
  readonly color_space?: string;
}): FilmHead['yuv'] {
  const { pix_fmt: pixelFormat, color_range: range = 'unknown', color_space: space = 'unknown' } = stream;
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

/**
 * Times from the first frame. One that is missing (in MPEG streams that of the last) comes when the frame before ends, where
 * its length is told. null when one stays unknown or they do not rise.
 */
function timesOf(frames: readonly ProbeFrame[]): number[] | null {
  const seconds: number[] = [];
  for (const [n, frame] of frames.entries()) {
    const before = frames[n - 1];
    const ends =
      (seconds[n - 1] ?? Number.NaN) +
      Number(before?.duration_time ?? before?.pkt_duration_time ?? Number.NaN);
    const said = Number(frame.best_effort_timestamp_time ?? Number.NaN);
    seconds.push(Number.isFinite(said) ? said : ends);
  }
  const start = seconds[0] ?? 0;
  const times = seconds.map((time) => Math.round((time - start) * 1e6) / 1000);
  const rising = times.every((time, n) => Number.isFinite(time) && (n === 0 || time > (times[n - 1] ?? 0)));
  return rising ? times : null;
}
