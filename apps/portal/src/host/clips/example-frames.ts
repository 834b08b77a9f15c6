import type { FramesView } from './clip-frames';
import { NO_FRAMES } from './clip-frames';
import type { AskedExample, FromExampleWorker } from './example-worker';
import type { FrameSource } from './frame-source';

const NOT_DRAWN = 'The example could not be drawn on this device.';

/** Frames of a drawn example of a view, computed beside the page when it is asked for. */
export class ExampleFrames implements FrameSource {
  private view: FramesView = NO_FRAMES;
  private bitmaps: readonly ImageBitmap[] = [];
  private closed = false;
  private readonly told = new Set<() => void>();
  private readonly onFrame = new Set<(frame: number) => void>();
  private readonly worker: Worker;

  constructor(view: string, species: string, asked?: AskedExample) {
    this.worker = new Worker(new URL('./example-worker.ts', import.meta.url), { type: 'module' });
    this.worker.addEventListener('message', ({ data }: MessageEvent<FromExampleWorker>) => {
      this.take(data).catch(() => this.fail(NOT_DRAWN));
    });
    this.worker.addEventListener('error', () => this.fail(NOT_DRAWN));
    this.worker.postMessage({ view, species, asked });
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.told.add(listener);
    return () => this.told.delete(listener);
  };
  readonly read = (): FramesView => this.view;

  bitmap(frame: number): ImageBitmap | null {
    return this.bitmaps[frame] ?? null;
  }

  whenDecoded(listener: (frame: number) => void): () => void {
    this.onFrame.add(listener);
    return () => this.onFrame.delete(listener);
  }

  close(): void {
    this.closed = true;
    this.worker.terminate();
    this.told.clear();
    closeAll(this.bitmaps);
    this.bitmaps = [];
  }

  private fail(problem: string): void {
    this.view = { ...this.view, problem };
    for (const tell of this.told) tell();
  }

  private async take({ widthPx, heightPx, frameTimeMs, frames }: FromExampleWorker): Promise<void> {
    if (frames.length === 0) return this.fail('There is no drawn example of this view.');
    const bitmaps = await drawAll(frames.map((luma) => greyPicture(luma, widthPx, heightPx)));
    if (this.closed) return closeAll(bitmaps);
    this.bitmaps = bitmaps;
    this.view = {
      widthPx,
      heightPx,
      frameCount: frames.length,
      loaded: frames.length,
      timesMs: frames.map((_, n) => n * frameTimeMs),
      problem: null,
    };
    for (const tell of this.told) tell();
    for (const tell of this.onFrame) tell(0);
  }
}

/** All pictures or none: where one fails, those that were made are given back. */
async function drawAll(pictures: readonly ImageData[]): Promise<ImageBitmap[]> {
  const made = await Promise.allSettled(pictures.map((picture) => createImageBitmap(picture)));
  const bitmaps = made.flatMap((m) => (m.status === 'fulfilled' ? [m.value] : []));
  if (bitmaps.length === pictures.length) return bitmaps;
  closeAll(bitmaps);
  throw new Error(NOT_DRAWN);
}

function closeAll(bitmaps: readonly ImageBitmap[]): void {
  for (const bitmap of bitmaps) bitmap.close();
}

function greyPicture(luma: Uint8Array, widthPx: number, heightPx: number): ImageData {
  const picture = new ImageData(widthPx, heightPx);
  luma.forEach((v, n) => {
    picture.data.set([v, v, v, 255], 4 * n);
  });
  return picture;
}
