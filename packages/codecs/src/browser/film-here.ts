import type { ByteSource, FilmFormat, IsoFilm, Read } from '@chordae/dicom';
import { isoMediaIsComplete, machineSaysNothing, readFrame, readIsoFilm, refuse } from '@chordae/dicom';
import { describeFilm } from '../film-description';
import type { LumaFrame, OpenedHere, ShownFrame } from './open-in-browser';

/** A decoder of films as browsers have it (WebCodecs), so that the order of things can be tried without one. */
export interface FilmPlatform {
  /** null where the browser decodes no such film. */
  filmDecoder(
    config: {
      readonly codec: string;
      readonly description: Uint8Array;
      readonly widthPx: number;
      readonly heightPx: number;
    },
    given: (picture: { readonly number: number; readonly frame: LumaFrame | null }) => void,
    failed: () => void,
  ): Promise<FilmDecoding | null>;
}

export interface FilmDecoding {
  decode(bytes: Uint8Array, number: number, isKey: boolean): void;
  /** Ends when what was put in has been worked on; a picture may still wait for one that is shown before it. */
  settle(): Promise<void>;
  /** Ends when all that was put in has come out; to be followed by a picture that stands alone. */
  flush(): Promise<void>;
  close(): void;
}

/** Coded pictures put in at a time. */
const atOnce = 4;

/**
 * An MP4 or MOV of H.264 opened where it lies, by the browser's own decoder. Everything else is refused with
 * READ_AFTER_UPLOAD: the server reads it. Exact repeats are left out there, not here.
 */
export async function openFilmHere(
  source: ByteSource,
  format: FilmFormat,
  platform: FilmPlatform,
): Promise<Read<OpenedHere>> {
  if (!(await isoMediaIsComplete(source))) return refuse('FILE_TRUNCATED');
  const read = await readIsoFilm(source);
  if (!read.ok) return read;
  const film = read.value;
  // avcC: version, profile, compatibility, level (ISO/IEC 14496-15 5.3.3.1).
  if (film.codec !== 'avc1' || film.configuration.length < 7 || film.configuration[0] !== 1)
    return refuse('READ_AFTER_UPLOAD');
  const frames = new FramesInOrder(source, film, platform);
  if (!(await frames.start())) return refuse('READ_AFTER_UPLOAD');
  const upright = film.turnedDegrees % 180 === 0;
  const description = describeFilm(
    {
      widthPx: upright ? film.widthPx : film.heightPx,
      heightPx: upright ? film.heightPx : film.widthPx,
      codec: 'h264',
      frameTimesMs: frames.timesMs,
      frameCount: film.samples.length,
      turnedDegrees: film.turnedDegrees,
      interlaced: false,
      pixelAspect: 1,
    },
    format,
    0,
  );
  const luma = (frame: number) => frames.luma(frame);
  // A film's colours differ between decoders in most pixels; its luma does not.
  const shown = async (frame: number): Promise<Read<ShownFrame>> => {
    const read = await luma(frame);
    if (!read.ok) return read;
    const { widthPx, heightPx, luma: pixels } = read.value;
    return { ok: true, value: { widthPx, heightPx, channels: 1, pixels } };
  };
  const close = () => frames.close();
  return { ok: true, value: { description, machine: machineSaysNothing, luma, shown, close } };
}

/** Decodes in order and hands out by number; going back begins anew. */
class FramesInOrder {
  /** Numbers of the samples, in decoding order, as they are shown. */
  private readonly shownAs: number[];
  readonly timesMs: number[];
  private decoding: FilmDecoding | null = null;
  private readonly ready = new Map<number, LumaFrame>();
  private fed = 0;
  private given = -1;
  /** Pictures before this one are let go as they come out. */
  private wanted = 0;
  /** The one given last: a picture and its greys are often asked for one after the other. */
  private last: { readonly frame: number; readonly luma: LumaFrame } | null = null;
  private queue: Promise<unknown> = Promise.resolve();
  private failed = false;
  private closed = false;

  constructor(
    private readonly source: ByteSource,
    private readonly film: IsoFilm,
    private readonly platform: FilmPlatform,
  ) {
    const order = film.samples.map((_, n) => n);
    order.sort((a, b) => (film.samples[a]?.timeMs ?? 0) - (film.samples[b]?.timeMs ?? 0));
    this.shownAs = [];
    for (const [shown, sample] of order.entries()) this.shownAs[sample] = shown;
    this.timesMs = order.map((sample) => film.samples[sample]?.timeMs ?? 0);
  }

  async start(): Promise<boolean> {
    this.decoding?.close();
    this.ready.clear();
    this.fed = 0;
    this.given = -1;
    this.wanted = 0;
    this.failed = false;
    const { configuration, widthPx, heightPx } = this.film;
    const digits = Array.from(configuration.subarray(1, 4), (byte) =>
      byte.toString(16).padStart(2, '0'),
    ).join('');
    this.decoding = await this.platform.filmDecoder(
      { codec: `avc1.${digits}`, description: configuration, widthPx, heightPx },
      ({ number, frame }) => {
        if (frame === null) this.failed = true;
        else if (number >= this.wanted) this.ready.set(number, turned(frame, this.film.turnedDegrees));
      },
      () => {
        this.failed = true;
      },
    );
    return this.decoding !== null;
  }

  /** One after the other: two at once would put in the same samples twice. */
  async luma(frame: number): Promise<Read<LumaFrame>> {
    // Going back would start a decoder that nobody closes.
    if (this.closed) throw new Error('a frame was asked of a film that was closed');
    const asked = this.queue.then(() => this.read(frame));
    this.queue = asked.catch(() => undefined);
    return asked;
  }

  /** After what is being read: a decoder must not go while it works. */
  close(): Promise<void> {
    this.closed = true;
    const done = this.queue.then(() => {
      this.decoding?.close();
      this.decoding = null;
      this.ready.clear();
      this.last = null;
    });
    this.queue = done;
    return done;
  }

  private async read(frame: number): Promise<Read<LumaFrame>> {
    const frames = this.film.samples.length;
    if (frame < 0 || frame >= frames) return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames });
    if (this.last?.frame === frame) return { ok: true, value: this.last.luma };
    if (frame <= this.given && !(await this.start())) return refuse('FRAME_DAMAGED', { frame: frame + 1 });
    this.wanted = frame;
    for (;;) {
      const found = this.ready.get(frame);
      if (found !== undefined) {
        for (const number of this.ready.keys()) if (number <= frame) this.ready.delete(number);
        this.given = frame;
        this.last = { frame, luma: found };
        return { ok: true, value: found };
      }
      if (this.failed || !(await this.feed())) return refuse('FRAME_DAMAGED', { frame: frame + 1 });
    }
  }

  /** Some more pictures; false when all have been put in and have come out. */
  private async feed(): Promise<boolean> {
    const { samples } = this.film;
    const { decoding } = this;
    if (decoding === null || this.fed >= samples.length) return false;
    for (const end = Math.min(samples.length, this.fed + atOnce); this.fed < end; this.fed += 1) {
      const sample = samples[this.fed];
      const bytes = sample === undefined ? null : await readFrame(this.source, [sample]);
      if (sample === undefined || bytes === null || !bytes.ok) return false;
      try {
        decoding.decode(bytes.value, this.shownAs[this.fed] ?? 0, sample.isKey);
      } catch {
        // The decoder gave up meanwhile, or takes nothing before a key frame.
        this.failed = true;
        return true;
      }
    }
    await (this.fed < samples.length ? decoding.settle() : decoding.flush()).catch(() => {
      this.failed = true;
    });
    return true;
  }
}

/** Turned clockwise. */
function turned({ widthPx, heightPx, luma }: LumaFrame, degrees: number): LumaFrame {
  if (degrees === 0) return { widthPx, heightPx, luma };
  const out = new Uint8Array(luma.length);
  const [wide, high] = degrees === 180 ? [widthPx, heightPx] : [heightPx, widthPx];
  for (let y = 0; y < high; y += 1)
    for (let x = 0; x < wide; x += 1) {
      const [fromX, fromY] =
        degrees === 90
          ? [y, heightPx - 1 - x]
          : degrees === 180
            ? [widthPx - 1 - x, heightPx - 1 - y]
            : [widthPx - 1 - y, x];
      out[y * wide + x] = luma[fromY * widthPx + fromX] ?? 0;
    }
  return { widthPx: wide, heightPx: high, luma: out };
}
