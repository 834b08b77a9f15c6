import type { Read } from '@chordae/dicom';
import { refuse } from '@chordae/dicom';
import type { Demuxer, FilmHead, FilmHeader, FilmRun } from './film-decoder';
import { tooLarge } from './film-header';
import { mostFrames } from './run-arguments';

/** One list of framehash: what it says of the picture, and a line a frame. */
interface FrameList {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly lines: readonly { readonly timeUs: number; readonly bytes: number; readonly hash: string }[];
}

/** Text of `-f framehash`: `#dimensions 0: 64x48`, then stream, decoding time, time, length, bytes and hash of each frame. */
export function readFrameList(text: string): FrameList {
  const size = /^#dimensions 0: (\d+)x(\d+)$/m.exec(text);
  const lines = text
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'))
    .map((line) => line.split(',').map((part) => part.trim()))
    // What a limit or a full disk cut off.
    .filter((parts) => parts.length === 6)
    .map((parts) => ({ timeUs: Number(parts[2]), bytes: Number(parts[4]), hash: parts[5] ?? '' }));
  return { widthPx: Number(size?.[1] ?? 0), heightPx: Number(size?.[2] ?? 0), lines };
}

/** Streams without a container: their times would be the decoder's guess. */
const withoutTimes: readonly Demuxer[] = ['h264', 'hevc'];

/**
 * What a film is, from its header and one run through it. Refuses FILM_DAMAGED, FRAMES_TOO_MANY, PICTURE_TOO_LARGE;
 * gives the number of the first frame that has another size than those before as `differs`.
 */
export function readHead(
  header: FilmHeader,
  run: Pick<FilmRun, 'frames' | 'strips'>,
  demuxer: Demuxer,
): Read<FilmHead> | { readonly differs: number } {
  const { widthPx, heightPx, lines } = readFrameList(run.frames);
  // It names a film, of which not one picture could be unpacked.
  if (lines.length === 0 || widthPx < 1 || heightPx < 1) return refuse('FILM_DAMAGED');
  const large = tooLarge(widthPx, heightPx);
  if (large !== null) return large;
  if (lines.length > mostFrames) return refuse('FRAMES_TOO_MANY', { frames: lines.length });
  const strips = readFrameList(run.strips).lines;
  const differs = lines.findIndex(
    ({ bytes }, n) => bytes !== lines[0]?.bytes || strips[n]?.bytes !== strips[0]?.bytes,
  );
  if (differs > 0) return { differs };
  const { codec, turnedDegrees, pixelAspect, yuv } = header;
  return {
    ok: true,
    value: {
      widthPx,
      heightPx,
      codec,
      frameTimesMs: withoutTimes.includes(demuxer) ? null : timesOf(lines.map(({ timeUs }) => timeUs)),
      frameCount: lines.length,
      frameHashes: lines.map(({ hash }) => hash),
      turnedDegrees,
      interlaced: isWoven(run),
      pixelAspect,
      yuv,
    },
  };
}

/** Whether some frame's lines belong to two moments. */
export function isWoven({ strips }: Pick<FilmRun, 'strips'>): boolean {
  return readFrameList(strips).lines.some(({ timeUs }) => timeUs % 2 === 1);
}

/** In ms from the first frame; null when they do not rise. */
function timesOf(us: readonly number[]): number[] | null {
  const times = us.map((time) => (time - (us[0] ?? 0)) / 1000);
  const rising = times.every((time, n) => Number.isFinite(time) && (n === 0 || time > (times[n - 1] ?? 0)));
  return rising ? times : null;
}
