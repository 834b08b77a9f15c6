import type { Problem } from '@chordae/contract';
import type { Picture, Read } from '@chordae/dicom';
import { problem, refuse } from '@chordae/dicom';
import type { FrameStream } from './film-decoder';
import { handedBytes, handedRgb } from './film-decoder';
import type { FilmReading } from './read-film';
import { repeatsIn } from './repeats';

/** Hands out pictures of a film that has been read: held frames in any order, later ones from a run that goes forwards. */
export class FramesByNumber {
  private stream: FrameStream | null = null;
  private position = 0;
  private last: { readonly frame: number; readonly picture: Picture } | null = null;
  private queue: Promise<unknown> = Promise.resolve();
  private complained: boolean;
  /** Frames that become RGB here are read into the same bytes, one after the other. */
  private readonly scratch: Uint8Array | undefined;

  constructor(
    private readonly reading: FilmReading,
    private readonly again: () => Promise<FrameStream>,
  ) {
    this.complained = reading.complained;
    const { head } = reading;
    this.scratch = head.yuv === null ? undefined : new Uint8Array(handedBytes(head));
  }

  picture(frame: number): Promise<Read<Picture>> {
    const asked = this.queue.then(() => this.read(frame));
    this.queue = asked.catch(() => undefined);
    return asked;
  }

  private async read(frame: number): Promise<Read<Picture>> {
    const { head, held } = this.reading;
    const { frameCount, widthPx, heightPx } = head;
    if (frame < 0 || frame >= frameCount)
      return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: frameCount });
    if (this.last?.frame === frame) return { ok: true, value: this.last.picture };
    const handed = held.frame(frame, this.scratch) ?? (await this.streamed(frame));
    // This run gave fewer than the first did.
    if (handed === null) return refuse('FRAMES_MISSING', { expected: frameCount, found: this.position });
    const picture: Picture = { widthPx, heightPx, channels: 3, pixels: handedRgb(handed, head) };
    this.last = { frame, picture };
    return { ok: true, value: picture };
  }

  /** Going back starts the decoder anew. */
  private async streamed(frame: number): Promise<Uint8Array | null> {
    if (this.stream === null || frame < this.position) {
      await this.leave();
      this.stream = await this.again();
      this.position = 0;
    }
    for (;;) {
      const handed = await this.stream.next();
      if (handed === null) return null;
      this.position += 1;
      if (this.position > frame) return handed;
    }
  }

  /** Repeats that are in it, and whether it may be painted over a gap. */
  problems(): Problem[] {
    const found: Problem[] = [];
    const count = repeatsIn(this.reading.head);
    if (count > 0) found.push(problem('FRAMES_REPEATED', { count }));
    if (this.complained || this.stream?.complained()) found.push(problem('FILM_FRAMES_DOUBTFUL'));
    return found;
  }

  private async leave(): Promise<void> {
    this.complained ||= this.stream?.complained() ?? false;
    await this.stream?.close();
    this.stream = null;
  }

  async close(): Promise<void> {
    await this.queue;
    await this.leave();
    await this.reading.held.close();
  }
}
