import type { FilmFormat, Read } from '@chordae/dicom';
import { machineSaysNothing, refuse } from '@chordae/dicom';
import { describeFilm } from '../../film-description';
import type { Original } from '../original';
import { filmDecoder } from './choose-decoder';
import type { Demuxer, FilmHead } from './film-decoder';
import { FramesByNumber } from './frames-by-number';
import { readFilm } from './read-film';
import { newFrames } from './repeats';

const demuxers: Readonly<Record<FilmFormat, Demuxer>> = {
  avi: 'avi',
  mp4: 'mov',
  mov: 'mov',
  wmv: 'asf',
  mpeg: 'mpeg',
  matroska: 'matroska',
};

/** A film file that is not read here. Refuses FILM_DECODER_MISSING {what} where no decoder is installed. */
export async function openFilm(
  path: string,
  format: FilmFormat,
  firstBytes: Uint8Array,
  closeSource: () => Promise<void>,
): Promise<Read<Original>> {
  const elementary = format === 'mpeg' && firstBytes[3] === 0xb3;
  const demuxer = elementary ? 'mpegvideo' : demuxers[format];
  const opened = await openFrames(path, demuxer, format);
  if (!opened.ok) return opened;
  const { head, frames } = opened.value;
  const kept = newFrames(head);
  const description = describeFilm(only(head, kept), format, head.frameCount - kept.length);
  return {
    ok: true,
    value: {
      ...frames,
      picture(frame) {
        const place = kept[frame];
        return place === undefined
          ? Promise.resolve(refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: kept.length }))
          : frames.picture(place);
      },
      // Repeats that were left out are said already.
      lateProblems: () =>
        (frames.lateProblems?.() ?? []).filter(
          ({ code }) => kept.length === head.frameCount || code !== 'FRAMES_REPEATED',
        ),
      description,
      machine: machineSaysNothing,
      close: async () => {
        await frames.close();
        await closeSource();
      },
    },
  };
}

function only(head: FilmHead, kept: readonly number[]): FilmHead {
  const times = head.frameTimesMs;
  return {
    ...head,
    frameCount: kept.length,
    frameTimesMs: times === null ? null : kept.map((n) => times[n] as number),
  };
}

export interface FilmFrames {
  readonly head: FilmHead;
  readonly frames: Pick<Original, 'asItCame' | 'picture' | 'lateProblems' | 'close'>;
}

/** Frames of a film by number. It has been decoded once; those that are not held are decoded again, in order. */
export async function openFrames(path: string, demuxer: Demuxer, what: string): Promise<Read<FilmFrames>> {
  const decoder = await filmDecoder();
  if (decoder === null) return refuse('FILM_DECODER_MISSING', { what });
  const reading = await readFilm(decoder, path, demuxer);
  if (!reading.ok) return reading;
  const { head } = reading.value;
  const frames = new FramesByNumber(reading.value, () => decoder.frames(path, demuxer, head));
  return {
    ok: true,
    value: {
      head,
      frames: {
        asItCame: () => Promise.resolve({ ok: true, value: null }),
        picture: (frame) => frames.picture(frame),
        lateProblems: () => frames.problems(),
        close: () => frames.close(),
      },
    },
  };
}
