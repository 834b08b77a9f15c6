import { useEffect, useRef, useState, useSyncExternalStore } from 'react';
import type { FramesView } from './clip-frames';
import { ClipFrames, NO_FRAMES } from './clip-frames';
import { frameAt, startOf, stepped, timesOrGuess } from './frame-clock';

/** Frames of an address while the element is on the page. */
export function useClipFrames(
  url: string,
  firstOnly = false,
): { frames: ClipFrames | null; view: FramesView } {
  const [frames, setFrames] = useState<ClipFrames | null>(null);
  useEffect(() => {
    const made = new ClipFrames(url, firstOnly);
    setFrames(made);
    return () => made.close();
  }, [url, firstOnly]);
  const view = useSyncExternalStore(frames?.subscribe ?? none, frames?.read ?? empty);
  return { frames, view };
}

const none = () => () => undefined;
const empty = () => NO_FRAMES;

export function wantsStillness(): boolean {
  return globalThis.matchMedia?.('(prefers-reduced-motion: reduce)').matches ?? false;
}

export interface Player {
  readonly frame: number;
  readonly playing: boolean;
  toggle(): void;
  step(by: number): void;
  hold(): void;
}

/** Plays by the clip's own times; where motion is unwanted it waits to be started. */
export function usePlayer(view: FramesView): Player {
  const [playing, setPlaying] = useState(() => !wantsStillness());
  const [frame, setFrame] = useState(0);
  const shown = useRef(0);
  shown.current = frame;
  const times = timesOrGuess(view.timesMs, view.frameCount);
  const ready = view.frameCount > 1 && view.loaded === view.frameCount;
  const key = `${view.frameCount}:${view.loaded}`;
  useEffect(() => {
    if (!playing || !ready) return undefined;
    const began = performance.now() - startOf(times, shown.current);
    let asked = 0;
    const draw = (now: number) => {
      setFrame(frameAt(times, now - began));
      asked = requestAnimationFrame(draw);
    };
    asked = requestAnimationFrame(draw);
    return () => cancelAnimationFrame(asked);
    // `times` is made from the view each time: the key says when it changed.
  }, [playing, ready, key]);
  return {
    frame: Math.min(frame, Math.max(0, view.loaded - 1)),
    playing,
    toggle: () => setPlaying((p) => !p),
    hold: () => setPlaying(false),
    step: (by) => {
      setPlaying(false);
      setFrame((f) => stepped(f, by, view.frameCount));
    },
  };
}
