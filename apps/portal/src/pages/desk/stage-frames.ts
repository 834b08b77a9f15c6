import type { FrameOnStage } from '../../kit/writing/text-edits';

/** What a frame of the stage is wanted for. */
export type FrameFor = 'key-frame' | 'technique';

type Listener = (what: FrameFor, at: FrameOnStage) => boolean;

/** From the stage to the opinion that is being written: the panel listens while one writes. One desk is open at a time. */
const listeners = new Set<Listener>();

/** Gives a frame to the opinion; null when nobody writes, false when it has no room for it. */
export function giveFrame(what: FrameFor, at: FrameOnStage): boolean | null {
  let taken: boolean | null = null;
  for (const listener of listeners) taken = listener(what, at);
  return taken;
}

export function onFrameGiven(listener: Listener): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
