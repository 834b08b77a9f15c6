import type { PackIndex } from '../pack/frame-pack';

/** What the page asks of the decode worker. One worker plays several packs, each under its own key. */
export type ToDecodeWorker =
  | {
      readonly kind: 'open';
      readonly key: string;
      readonly url: string;
      /** Luma of each frame as well, for the computing on pictures. */
      readonly wantLuma?: boolean;
    }
  | { readonly kind: 'close'; readonly key: string };

/** What the decode worker answers. Bitmaps are handed over, not copied: close them when done. */
export type FromDecodeWorker =
  | { readonly kind: 'index'; readonly key: string; readonly index: PackIndex }
  | {
      readonly kind: 'frame';
      readonly key: string;
      readonly number: number;
      readonly timeMs: number | null;
      readonly bitmap: ImageBitmap;
      /** One byte a pixel, (77R + 150G + 29B + 128) >> 8; only when asked for. */
      readonly luma: Uint8Array | null;
    }
  | { readonly kind: 'done'; readonly key: string }
  | { readonly kind: 'problem'; readonly key: string; readonly code: string; readonly status: number | null };
