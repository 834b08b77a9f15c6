import { lumaFromRgba } from '../luma';
import type { PackEvent } from '../pack/pack-stream';
import { PackStream } from '../pack/pack-stream';
import type { FromDecodeWorker } from './messages';

/** The platform behind the decoder, so that its order and its faults can be tried without a browser. */
export interface DecodePlatform {
  fetch(url: string, signal: AbortSignal): Promise<Response>;
  bitmapFrom(bytes: Uint8Array, type: string): Promise<ImageBitmap>;
  lumaOf(bitmap: ImageBitmap): Uint8Array;
  rgbaOf(bitmap: ImageBitmap): Uint8ClampedArray;
}

export interface DecodeJob {
  readonly key: string;
  readonly url: string;
  readonly wantLuma: boolean;
  readonly signal: AbortSignal;
}

/** The browser's own: cookies go along, colour is left alone (so that pixels equal the file's), nothing is turned. */
export const browserPlatform: DecodePlatform = {
  fetch: (url, signal) => fetch(url, { credentials: 'include', signal }),
  bitmapFrom: (bytes, type) =>
    createImageBitmap(new Blob([bytes as Uint8Array<ArrayBuffer>], { type }), {
      colorSpaceConversion: 'none',
      premultiplyAlpha: 'none',
    }),
  lumaOf: (bitmap) => lumaFromRgba(rgbaOf(bitmap)),
  rgbaOf,
};

function rgbaOf(bitmap: ImageBitmap): Uint8ClampedArray {
  const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (context === null) return new Uint8ClampedArray();
  context.drawImage(bitmap, 0, 0);
  return context.getImageData(0, 0, bitmap.width, bitmap.height).data;
}

type Tell = (message: FromDecodeWorker, handOver: Transferable[]) => void;

/**
 * Fetches a pack and tells its index, then each frame in order as soon as its bytes are there, then `done`.
 * Problems: PACK_* of the format, PACK_NOT_FETCHED with the status, FRAME_NOT_DECODED. Silent once the signal is aborted.
 */
export async function decodePack(
  job: DecodeJob,
  tell: Tell,
  platform: DecodePlatform = browserPlatform,
): Promise<void> {
  const { key, signal } = job;
  const fail = (code: string, status: number | null = null): void => {
    if (!signal.aborted) tell({ kind: 'problem', key, code, status }, []);
  };
  let response: Response;
  try {
    response = await platform.fetch(job.url, signal);
  } catch {
    return fail('PACK_NOT_FETCHED');
  }
  if (!response.ok || response.body === null) return fail('PACK_NOT_FETCHED', response.status);
  const stream = new PackStream();
  const reader = response.body.getReader();
  for (;;) {
    const piece = await reader.read().catch(() => null);
    if (signal.aborted) return;
    if (piece === null) return fail('PACK_NOT_FETCHED');
    const events = piece.done ? stream.end() : stream.push(piece.value);
    for (const event of events) {
      if (!(await handle(event, job, tell, platform, fail)))
        return void reader.cancel().catch(() => undefined);
    }
    if (piece.done) break;
  }
  tell({ kind: 'done', key }, []);
}

/** Tells one event; false when there is nothing more to tell. */
async function handle(
  event: PackEvent,
  job: DecodeJob,
  tell: Tell,
  platform: DecodePlatform,
  fail: (code: string) => void,
): Promise<boolean> {
  const { key, signal, wantLuma } = job;
  if (event.kind === 'problem') {
    fail(event.code);
    return false;
  }
  if (event.kind === 'index') {
    tell({ kind: 'index', key, index: event.index }, []);
    return true;
  }
  const bitmap = await platform.bitmapFrom(event.bytes, `image/${event.frame.encoding}`).catch(() => null);
  if (bitmap === null) {
    fail('FRAME_NOT_DECODED');
    return false;
  }
  if (signal.aborted) {
    bitmap.close();
    return false;
  }
  const luma = wantLuma ? platform.lumaOf(bitmap) : null;
  const handOver: Transferable[] = luma === null ? [bitmap] : [bitmap, luma.buffer];
  tell({ kind: 'frame', key, number: event.number, timeMs: event.frame.timeMs, bitmap, luma }, handOver);
  return true;
}
