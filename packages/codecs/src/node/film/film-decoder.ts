import type { YuvFormat } from './yuv';
import { rgbFromYuv, yuvBytes } from './yuv';

/** What a container is, for the decoder's `-f`: named here, so that a file cannot make it follow a playlist or another file. */
export type Demuxer =
  | 'avi'
  | 'mov'
  | 'asf'
  | 'mpeg'
  | 'mpegvideo'
  | 'matroska'
  | 'h264'
  | 'hevc'
  | 'mpegts'
  | 'gif';

/** What a container says of its film before a frame was decoded. */
export interface FilmHeader {
  /** As they are coded, before any turning; 0 where it is not said. */
  readonly codedWidthPx: number;
  readonly codedHeightPx: number;
  readonly codec: string;
  /** null where it is not said. */
  readonly frameCount: number | null;
  /** Degrees, clockwise, by which the picture was turned to stand upright. */
  readonly turnedDegrees: number;
  readonly interlaced: boolean;
  /** Width to height of one pixel as shown; 1 when square or not said. */
  readonly pixelAspect: number;
  /** Frames as they are coded, turned into RGB here; null: the decoder gives RGB. */
  readonly yuv: (YuvFormat & { readonly pixelFormat: 'yuv420p' | 'yuvj420p' }) | null;
}

/** What is known of a film once all of it has been decoded. */
export interface FilmHead {
  /** Upright. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly codec: string;
  /** Start of each frame in ms from the first; null where the film has no times. */
  readonly frameTimesMs: readonly number[] | null;
  readonly frameCount: number;
  /** A hash of each frame's pixels as they are coded. */
  readonly frameHashes: readonly string[];
  readonly turnedDegrees: number;
  readonly interlaced: boolean;
  readonly pixelAspect: number;
  readonly yuv: FilmHeader['yuv'];
}

/** How a frame is handed over. */
export type Handing = Pick<FilmHead, 'yuv' | 'interlaced'>;

/** Frames in order, as they are handed over. */
export interface FrameStream {
  /** The next frame; null after the last. */
  next(): Promise<Uint8Array | null>;
  /** true once the decoder has complained about the film: what it gave may be painted over a gap. */
  complained(): boolean;
  close(): Promise<void>;
}

/** What one run through a film leaves: two lists of frames as `-f framehash` writes them, one line a frame. */
export interface FilmRun {
  /** Times and hashes of all frames, with their sizes in bytes. */
  readonly frames: string;
  /**
   * A strip of each frame: its size in bytes tells a change of width that keeps the area, its time, an odd number, that the
   * frame's lines belong to two moments.
   */
  readonly strips: string;
  /** 'badly': it could not finish. 'stopped' by a limit, or 'crashed': what it left is no measure of the film. */
  readonly ended: 'well' | 'badly' | 'stopped' | 'crashed';
  readonly complained: boolean;
}

/** A program that reads films which this project does not read itself. Always run within the decoder process. */
export interface FilmDecoder {
  readonly name: string;
  /** Whether a run may begin while the probe is under way: both are processes of their own. */
  readonly besides: boolean;
  /** Some entries of what ffprobe tells, as JSON; null when it told nothing. */
  probe(path: string, demuxer: Demuxer, entries: string): Promise<string | null>;
  /** Decodes the whole film once; writes its first frames, so many at most, to a file as they are handed over. */
  run(
    path: string,
    demuxer: Demuxer,
    how: Handing,
    held: { readonly path: string; readonly frames: number },
    /** Ends it early where it can be ended. */
    stop?: AbortSignal,
  ): Promise<FilmRun>;
  /** All frames anew. */
  frames(path: string, demuxer: Demuxer, head: FilmHead): Promise<FrameStream>;
}

/** Bytes of a frame as the decoder hands it over. */
export function handedBytes({ yuv, widthPx, heightPx }: Omit<FilmHead, 'frameHashes'>): number {
  return yuv === null ? 3 * widthPx * heightPx : yuvBytes(widthPx, heightPx);
}

/** Such a frame as RGB. */
export function handedRgb(frame: Uint8Array, { yuv, widthPx, heightPx }: FilmHead): Uint8Array {
  return yuv === null ? frame : rgbFromYuv(frame, widthPx, heightPx, yuv);
}
