import type { FramePlace } from '../../kit/frame-link';

/** From a number in the panel to the clips: the stage listens and opens that frame. One desk is open at a time. */
const listeners = new Set<(place: FramePlace) => void>();

export function showFrame(place: FramePlace): void {
  for (const listener of listeners) listener(place);
}

export function onShowFrame(listener: (place: FramePlace) => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
