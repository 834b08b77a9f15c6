import type { FromDecodeWorker, ToDecodeWorker } from '@chordae/codecs/browser';

let worker: Worker | null = null;
const listeners = new Map<string, (message: FromDecodeWorker) => void>();
let counter = 0;

function theWorker(): Worker {
  if (!worker) {
    worker = new Worker(new URL('./decode-worker.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<FromDecodeWorker>) => {
      const listener = listeners.get(data.key);
      if (listener) listener(data);
      else if (data.kind === 'frame') data.bitmap.close();
    });
  }
  return worker;
}

export interface FramesView {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly frameCount: number;
  readonly loaded: number;
  /** Start of each frame in ms; null where the file does not say. */
  readonly timesMs: readonly number[] | null;
  readonly problem: string | null;
}

const EMPTY: FramesView = { widthPx: 0, heightPx: 0, frameCount: 0, loaded: 0, timesMs: null, problem: null };

/** The frames of one clip as they come in. `firstOnly` stops after the first, for a small picture. */
export class ClipFrames {
  private readonly key = `clip-${(counter += 1)}`;
  private readonly bitmaps: ImageBitmap[] = [];
  private readonly told = new Set<() => void>();
  private view: FramesView = EMPTY;

  constructor(url: string, firstOnly: boolean) {
    listeners.set(this.key, (message) => this.take(message, firstOnly));
    theWorker().postMessage({ kind: 'open', key: this.key, url } satisfies ToDecodeWorker, []);
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.told.add(listener);
    return () => this.told.delete(listener);
  };
  readonly read = (): FramesView => this.view;

  bitmap(frame: number): ImageBitmap | null {
    return this.bitmaps[frame] ?? null;
  }

  close(): void {
    listeners.delete(this.key);
    worker?.postMessage({ kind: 'close', key: this.key } satisfies ToDecodeWorker, []);
    for (const bitmap of this.bitmaps) bitmap.close();
    this.bitmaps.length = 0;
  }

  private take(message: FromDecodeWorker, firstOnly: boolean): void {
    if (message.kind === 'index') {
      const { widthPx, heightPx, frames } = message.index;
      const times = frames.map((f) => f.timeMs);
      const timesMs = times.every((t) => t !== null) ? (times as number[]) : null;
      this.view = { ...this.view, widthPx, heightPx, frameCount: frames.length, timesMs };
    } else if (message.kind === 'frame') {
      this.bitmaps[message.number] = message.bitmap;
      this.view = { ...this.view, loaded: message.number + 1 };
      if (firstOnly) theWorker().postMessage({ kind: 'close', key: this.key } satisfies ToDecodeWorker, []);
    } else if (message.kind === 'problem') {
      const notYet = message.status === 409;
      const problem = notYet
        ? 'Being prepared: it is not yet cleared to leave the practice, or still being read.'
        : 'The clip could not be loaded just now.';
      this.view = { ...this.view, problem };
    }
    for (const tell of this.told) tell();
  }
}
