import { useEffect, useState, useSyncExternalStore } from 'react';
import type { FramesView } from './clip-frames';
import { NO_FRAMES } from './clip-frames';
import { framesOf } from './clips-ahead';
import { ExampleFrames } from './example-frames';
import type { FrameSource } from './frame-source';

const none = () => () => undefined;
const empty = () => NO_FRAMES;

interface Wanted {
  readonly key: string;
  readonly packUrl: string | null;
  readonly view: string | null;
}

/** Frames of what a tile shows, while it shows it: a clip's own, or a drawn example where there is no file. */
export function useFrameSource(
  wanted: Wanted,
  species: string,
): { readonly source: FrameSource | null; readonly view: FramesView } {
  const [source, setSource] = useState<FrameSource | null>(null);
  useEffect(() => {
    const made = wanted.packUrl ? framesOf(wanted.packUrl) : new ExampleFrames(wanted.view ?? '', species);
    setSource(made);
    return () => made.close();
  }, [wanted.key, wanted.packUrl]);
  const view = useSyncExternalStore(source?.subscribe ?? none, source?.read ?? empty);
  return { source, view };
}
