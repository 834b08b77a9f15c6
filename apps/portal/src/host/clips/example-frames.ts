import type { FramesView } from './clip-frames';
import { NO_FRAMES } from './clip-frames';
import type { AskedExample, FromExampleWorker } from './example-worker';
import type { FrameSource } from './frame-source';

/** Frames of a drawn example of a view, computed beside the page when it is asked for. */
export class ExampleFrames implements FrameSource {
  private view: FramesView = NO_FRAMES;
  private bitmaps: readonly ImageBitmap[] = [];
  private readonly told = new Set<() => void>();
  private readonly onFrame = new Set<(frame: number) => void>();
  private readonly worker: Worker;

  constructor(view: string, species: string, asked?: AskedExample) {
    this.worker = new Worker(new URL('./example-worker.ts', import.meta.url), { type: 'module' });
    this.worker.addEventListener('message', ({ data }: MessageEvent<FromExampleWorker>) => {
      void this.take(data);
    });
    this.worker.addEventListener('error', () => this.fail('The example could not be drawn on this device.'));
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
    this.worker.terminate();
    this.told.clear();
    for (const bitmap of this.bitmaps) bitmap.close();
    this.bitmaps = [];
  }

  private fail(problem: string): void {
    this.view = { ...this.view, problem };
    for (const tell of this.told) tell();
  }

  private async take({ widthPx, heightPx, frameTimeMs, frames }: FromExampleWorker): Promise<void> {
    if (frames.length === 0) return this.fail('There is no drawn example of this view.');
    this.bitmaps = await Promise.all(
      frames.map((luma) => createImageBitmap(greyPicture(luma, widthPx, heightPx))),
    );
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

function greyPicture(luma: Uint8Array, widthPx: number, heightPx: number): ImageData {
  const picture = new ImageData(widthPx, heightPx);
  luma.forEach((v, n) => {
    picture.data.set([v, v, v, 255], 4 * n);
  });
  return picture;
}
