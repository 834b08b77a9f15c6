import type { Read } from '@chordae/dicom';
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

export interface FilmHead {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly codec: string;
  /** Start of each frame in ms from the first; null where the container has no times. */
  readonly frameTimesMs: readonly number[] | null;
  readonly frameCount: number;
  /** Coded size of each frame; empty where it is not told. A repeat takes next to nothing, or as much as the frame before. */
  readonly frameBytes: readonly number[];
  /** Degrees, clockwise, by which the picture was turned to stand upright. */
  readonly turnedDegrees: number;
  readonly interlaced: boolean;
  /** Width to height of one pixel as shown; 1 when square or not said. */
  readonly pixelAspect: number;
  /** Frames as they are coded, turned into RGB here; null: the decoder gives RGB. */
  readonly yuv: (YuvFormat & { readonly pixelFormat: 'yuv420p' | 'yuvj420p' }) | null;
}

/** RGB frames in order, 3 bytes a pixel. */
export interface FrameStream {
  /** The next frame; null after the last. */
  next(): Promise<Uint8Array | null>;
  /** true once the decoder has complained about the film: what it gave may be painted over a gap. */
  complained(): boolean;
  close(): Promise<void>;
}

/** A program that reads films which this project does not read itself. Always run within the decoder process. */
export interface FilmDecoder {
  readonly name: string;
  head(path: string, demuxer: Demuxer): Promise<Read<FilmHead>>;
  frames(path: string, demuxer: Demuxer, head: FilmHead): Promise<FrameStream>;
  /** A hash of the pixels of each frame as they were coded; null where it cannot be had. */
  hashes(path: string, demuxer: Demuxer): Promise<string[] | null>;
}

/** Bytes of a frame as the decoder hands it over. */
export function handedBytes({ yuv, widthPx, heightPx }: FilmHead): number {
  return yuv === null ? 3 * widthPx * heightPx : yuvBytes(widthPx, heightPx);
}

/** Such a frame as RGB. */
export function handedRgb(frame: Uint8Array, { yuv, widthPx, heightPx }: FilmHead): Uint8Array {
  return yuv === null ? frame : rgbFromYuv(frame, widthPx, heightPx, yuv);
}
