import { FRAME_BUDGET_BYTES, FrameCache } from './frame-cache';
import type { FromFrameWorker, ToFrameWorker } from './frame-jobs';
import type { FrameSource } from './frame-source';

let worker: Worker | null = null;
const listeners = new Map<string, (message: FromFrameWorker) => void>();
let counter = 0;

/** Decoded frames of everything on the page. */
const cache = new FrameCache<ImageBitmap>(FRAME_BUDGET_BYTES, (bitmap) => bitmap.close());

/** Starts the worker, so that it is there when the first clip is opened. */
export function warmFrames(): void {
  if (!worker) {
    worker = new Worker(new URL('./frame-worker.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<FromFrameWorker>) => {
      const listener = listeners.get(data.key);
      if (listener) listener(data);
      else if (data.kind === 'frame') data.bitmap.close();
    });
  }
}

function ask(message: ToFrameWorker): void {
  warmFrames();
  worker?.postMessage(message);
}

export interface FramesView {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly frameCount: number;
  /** Frames from the first on that have been decoded once: what is beyond may not be there yet. */
  readonly loaded: number;
  /** Start of each frame in ms; null where the file does not say. */
  readonly timesMs: readonly number[] | null;
  readonly problem: string | null;
}

export const NO_FRAMES: FramesView = {
  widthPx: 0,
  heightPx: 0,
  frameCount: 0,
  loaded: 0,
  timesMs: null,
  problem: null,
};

/** Frames asked for ahead of what is shown, while one plays. */
const AHEAD = 8;

/** A clip that is not ready is asked for again after this, ms. */
const AGAIN_MS = 3000;

/** Clips that play; small pictures need one frame only. */
const playing = new Set<ClipFrames>();

/** How many frames of a clip stay decoded when this many share the budget; room is left for twice what passes through. */
function share(frameBytes: number, clips: number): number {
  return Math.max(1, Math.floor(FRAME_BUDGET_BYTES / clips / Math.max(1, frameBytes)) - 2 * AHEAD);
}

/** Does a tile, or what was begun ahead of one, hold the frames of this address? */
export function isPlaying(url: string): boolean {
  return [...playing].some((frames) => frames.url === url);
}

/** The frames of one clip as they come in. `firstOnly` stops after the first, for a small picture. */
export class ClipFrames implements FrameSource {
  private readonly key = `clip-${(counter += 1)}`;
  private readonly told = new Set<() => void>();
  private readonly onFrame = new Set<(number: number) => void>();
  private readonly asked = new Set<number>();
  private readonly once = new Set<number>();
  private view: FramesView = NO_FRAMES;
  private frameBytes = 0;

  constructor(
    readonly url: string,
    private readonly firstOnly: boolean,
  ) {
    if (!firstOnly) playing.add(this);
    listeners.set(this.key, (message) => this.take(message));
    ask({ kind: 'open', key: this.key, url, firstOnly });
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.told.add(listener);
    return () => this.told.delete(listener);
  };
  readonly read = (): FramesView => this.view;

  /** Called with each frame that has been decoded. */
  whenDecoded(listener: (number: number) => void): () => void {
    this.onFrame.add(listener);
    return () => this.onFrame.delete(listener);
  }

  /** The decoded frame, or null; then it is on its way. Asks ahead, so that playing does not wait. */
  bitmap(frame: number): ImageBitmap | null {
    const found = cache.get(this.id(frame));
    if (!found) this.want([frame], true);
    const { frameCount } = this.view;
    if (frameCount > 1 && !this.firstOnly) {
      const ahead = Array.from({ length: AHEAD }, (_, n) => (frame + 1 + n) % frameCount);
      // What comes next was shown longest ago, in a loop: taking it now keeps it from being let go.
      for (const n of ahead) cache.get(this.id(n));
      this.want(ahead, false);
    }
    return found;
  }

  close(): void {
    if (!listeners.delete(this.key)) return;
    playing.delete(this);
    if (worker) ask({ kind: 'close', key: this.key });
    cache.dropAll(`${this.key}:`);
  }

  private id(frame: number): string {
    return `${this.key}:${frame}`;
  }

  private want(numbers: readonly number[], urgent: boolean): void {
    const missing = numbers.filter(
      (n) =>
        n >= 0 &&
        n < this.view.frameCount &&
        !cache.has(this.id(n)) &&
        (urgent || !this.asked.has(n)) &&
        // The first comes unasked.
        (n > 0 || this.once.has(0)),
    );
    if (missing.length === 0) return;
    for (const n of missing) this.asked.add(n);
    ask({ kind: 'want', key: this.key, numbers: missing, urgent });
  }

  private take(message: FromFrameWorker): void {
    const { url, firstOnly } = this;
    if (message.kind === 'index') {
      const { widthPx, heightPx, frames } = message.index;
      const times = frames.map((f) => f.timeMs);
      const timesMs = times.every((t) => t !== null) ? (times as number[]) : null;
      this.frameBytes = widthPx * heightPx * 4;
      this.view = { ...this.view, widthPx, heightPx, frameCount: frames.length, timesMs, problem: null };
      // What a fourth of the budget holds is decoded at once: four clips are usual.
      const first = Math.min(frames.length, share(this.frameBytes, 4));
      if (!this.firstOnly)
        this.want(
          Array.from({ length: first }, (_, n) => n),
          false,
        );
    } else if (message.kind === 'frame') this.keep(message.number, message.bitmap);
    else {
      // Still being prepared: it is asked for again until it is there.
      if (message.status === 409)
        setTimeout(() => {
          if (listeners.has(this.key)) ask({ kind: 'open', key: this.key, url, firstOnly });
        }, AGAIN_MS);
      const problem =
        message.status === 409
          ? 'Being prepared: it is not yet cleared to leave the practice, or still being read.'
          : 'The clip could not be loaded just now.';
      this.view = { ...this.view, problem };
    }
    for (const tell of this.told) tell();
  }

  private keep(number: number, bitmap: ImageBitmap): void {
    this.asked.delete(number);
    this.once.add(number);
    const passing = number >= share(this.frameBytes, Math.max(4, playing.size));
    cache.set(this.id(number), bitmap, this.frameBytes, passing);
    let { loaded } = this.view;
    while (this.once.has(loaded)) loaded += 1;
    // Beyond that nothing is decoded before it is shown: such a clip counts as there.
    if (loaded >= share(this.frameBytes, 4)) loaded = this.view.frameCount;
    // Told now and then only: while all of it comes in, the page has the first frames to paint.
    const tell = loaded === 1 || loaded === this.view.frameCount || loaded >= this.view.loaded + 8;
    if (tell && loaded !== this.view.loaded) this.view = { ...this.view, loaded };
    for (const hear of this.onFrame) hear(number);
  }
}
