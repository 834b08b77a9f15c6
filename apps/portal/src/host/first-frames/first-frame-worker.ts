import { browserPlatform, filmDecoder, openInBrowser, type ShownFrame } from '@chordae/codecs/browser';
import type { FanProposal, MaskDecisionSaid } from '@chordae/contract';
import { fanOfOpened } from './fan-of-opened';
import { maskedFirstFrame } from './masked-frame';

export interface ToFirstFrameWorker {
  readonly id: string;
  readonly file: Blob;
  readonly decision: MaskDecisionSaid | null;
}
export type FirstFrameMade =
  | { readonly kind: 'made'; readonly jpeg: Uint8Array }
  /** Unmasked, in the size of the file: to draw the box on, on this computer only. */
  | {
      readonly kind: 'needs-decision';
      readonly jpeg: Uint8Array;
      readonly widthPx: number;
      readonly heightPx: number;
      readonly fan: FanProposal | null;
    }
  | { readonly kind: 'none'; readonly code: string };
export interface FirstFrameTold {
  readonly id: string;
  readonly made: FirstFrameMade;
}

/** Twenty of them take two and a half seconds at two megabits a second. */
const MOST_BYTES = 20_000;
const WIDEST_PX = 560;

const scope = globalThis as unknown as {
  addEventListener(kind: 'message', listen: (event: MessageEvent<ToFirstFrameWorker>) => void): void;
  postMessage(message: FirstFrameTold): void;
};

let queue: Promise<void> = Promise.resolve();
scope.addEventListener('message', ({ data }) => {
  queue = queue.then(async () => {
    const made = await make(data).catch((): FirstFrameMade => ({ kind: 'none', code: 'FIRST_FRAME_FAILED' }));
    scope.postMessage({ id: data.id, made });
  });
});

async function make({ file, decision }: ToFirstFrameWorker): Promise<FirstFrameMade> {
  const opened = await openInBrowser(file, { ...browserPlatform, filmDecoder });
  if (!opened.ok) return { kind: 'none', code: opened.problem.code };
  const masked = await maskedFirstFrame(opened.value, decision).finally(() => opened.value.close());
  if (masked.kind === 'none') return masked;
  const whole = canvasOf(masked.frame);
  if (masked.kind === 'needs-decision') {
    const { widthPx, heightPx } = masked.frame;
    const fan = await fanOfOpened(opened.value);
    return { kind: 'needs-decision', jpeg: await jpegOf(whole, 0.8), widthPx, heightPx, fan };
  }
  let jpeg = new Uint8Array();
  for (const scale of [1, 0.75, 0.5]) {
    const small = scaled(whole, Math.min(1, (WIDEST_PX * scale) / whole.width));
    for (const quality of [0.75, 0.6, 0.45]) {
      jpeg = await jpegOf(small, quality);
      if (jpeg.length <= MOST_BYTES) return { kind: 'made', jpeg };
    }
  }
  return { kind: 'made', jpeg };
}

function canvasOf({ widthPx, heightPx, channels, pixels }: ShownFrame): OffscreenCanvas {
  const canvas = new OffscreenCanvas(widthPx, heightPx);
  const rgba = new Uint8ClampedArray(4 * widthPx * heightPx);
  for (let n = 0; n < widthPx * heightPx; n += 1) {
    const at = channels * n;
    rgba[4 * n] = pixels[at] ?? 0;
    rgba[4 * n + 1] = pixels[channels === 1 ? at : at + 1] ?? 0;
    rgba[4 * n + 2] = pixels[channels === 1 ? at : at + 2] ?? 0;
    rgba[4 * n + 3] = 255;
  }
  canvas.getContext('2d')?.putImageData(new ImageData(rgba, widthPx, heightPx), 0, 0);
  return canvas;
}

function scaled(whole: OffscreenCanvas, by: number): OffscreenCanvas {
  if (by >= 1) return whole;
  const small = new OffscreenCanvas(
    Math.max(1, Math.round(whole.width * by)),
    Math.max(1, Math.round(whole.height * by)),
  );
  const context = small.getContext('2d');
  if (context) {
    context.imageSmoothingQuality = 'high';
    context.drawImage(whole, 0, 0, small.width, small.height);
  }
  return small;
}

async function jpegOf(canvas: OffscreenCanvas, quality: number): Promise<Uint8Array<ArrayBuffer>> {
  const blob = await canvas.convertToBlob({ type: 'image/jpeg', quality });
  return new Uint8Array(await blob.arrayBuffer());
}
