import type { Problem } from '@chordae/contract';
import type { FilmFormat, Picture, Read } from '@chordae/dicom';
import { machineSaysNothing, problem, refuse } from '@chordae/dicom';
import { describeFilm } from '../../film-description';
import type { Original } from '../original';
import { filmDecoder } from './choose-decoder';
import type { Demuxer, FilmDecoder, FilmHead, FrameStream } from './film-decoder';
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
  const { head, frames, decoder } = opened.value;
  const kept = await newFrames(decoder, path, demuxer, head);
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
  readonly decoder: FilmDecoder;
  readonly frames: Pick<Original, 'asItCame' | 'picture' | 'lateProblems' | 'close'>;
}

/** Frames of a film by number, decoded in order: going back starts the decoder anew. */
export async function openFrames(path: string, demuxer: Demuxer, what: string): Promise<Read<FilmFrames>> {
  const decoder = await filmDecoder();
  if (decoder === null) return refuse('FILM_DECODER_MISSING', { what });
  const head = await decoder.head(path, demuxer);
  if (!head.ok) return head;
  const runner = new InOrder(decoder, path, demuxer, head.value);
  return {
    ok: true,
    value: {
      head: head.value,
      decoder,
      frames: {
        asItCame: () => Promise.resolve({ ok: true, value: null }),
        picture: (frame) => runner.picture(frame),
        lateProblems: () => runner.problems(),
        close: () => runner.close(),
      },
    },
  };
}

/** Keeps one run of the decoder and hands out its frames one request after the other. */
class InOrder {
  private stream: FrameStream | null = null;
  private position = 0;
  private last: { readonly frame: number; readonly picture: Picture } | null = null;
  private queue: Promise<unknown> = Promise.resolve();
  private before: Uint8Array | null = null;
  private furthest = -1;
  private repeated = 0;
  private complained = false;

  constructor(
    private readonly decoder: FilmDecoder,
    private readonly path: string,
    private readonly demuxer: Demuxer,
    private readonly head: FilmHead,
  ) {}

  picture(frame: number): Promise<Read<Picture>> {
    const asked = this.queue.then(() => this.read(frame));
    this.queue = asked.catch(() => undefined);
    return asked;
  }

  private async read(frame: number): Promise<Read<Picture>> {
    const { frameCount, widthPx, heightPx } = this.head;
    if (frame < 0 || frame >= frameCount)
      return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: frameCount });
    if (this.last?.frame === frame) return { ok: true, value: this.last.picture };
    if (this.stream === null || frame < this.position) {
      this.complained ||= this.stream?.complained() ?? false;
      await this.stream?.close();
      this.stream = await this.decoder.frames(this.path, this.demuxer, this.head);
      this.position = 0;
      this.before = null;
    }
    for (;;) {
      const pixels = await this.stream.next();
      // Fewer frames than the container has: damaged somewhere in the middle.
      if (pixels === null) return refuse('FRAMES_MISSING', { expected: frameCount, found: this.position });
      const at = this.position;
      this.position += 1;
      this.compare(at, pixels);
      if (at < frame) continue;
      this.last = { frame, picture: { widthPx, heightPx, channels: 3, pixels } };
      return { ok: true, value: this.last.picture };
    }
  }

  private compare(frame: number, pixels: Uint8Array): void {
    if (frame > this.furthest) {
      this.furthest = frame;
      if (this.before !== null && Buffer.compare(pixels, this.before) === 0) this.repeated += 1;
    }
    this.before = pixels;
  }

  /** Known only once all frames have been decoded. */
  problems(): Problem[] {
    const found: Problem[] = [];
    if (this.repeated > 0) found.push(problem('FRAMES_REPEATED', { count: this.repeated }));
    if (this.complained || this.stream?.complained()) found.push(problem('FILM_FRAMES_DOUBTFUL'));
    return found;
  }

  async close(): Promise<void> {
    await this.queue;
    await this.stream?.close();
    this.stream = null;
  }
}
