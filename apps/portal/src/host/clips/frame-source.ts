import type { FramesView } from './clip-frames';

/** Frames of something that plays: a clip of a case, or a drawn example. */
export interface FrameSource {
  readonly subscribe: (listener: () => void) => () => void;
  readonly read: () => FramesView;
  bitmap(frame: number): ImageBitmap | null;
  whenDecoded(listener: (frame: number) => void): () => void;
  close(): void;
}
