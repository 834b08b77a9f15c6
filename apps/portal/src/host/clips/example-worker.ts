/** Worker entry: draws a beating heart in a standard view, frame by frame. Computed pictures; no animal was scanned. */
import type { PhantomHeart, PhantomSpecies, PhantomView } from '@chordae/phantom';
import { exampleWish, phantomViews, renderCine } from '@chordae/phantom';

export interface ToExampleWorker {
  readonly view: string;
  readonly species: string;
  readonly asked?: AskedExample;
}
/** What else than the usual example is asked for. */
export interface AskedExample {
  readonly heart: PhantomHeart;
  /** How much of the disease's change is there; 1 when not given. */
  readonly severity?: number;
  /** How far the cut is tipped to the right of the picture, degrees. */
  readonly tiltDeg?: number;
  /** Number of B-lines at a lung point. */
  readonly bLines?: number;
}
export interface FromExampleWorker {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly frameTimeMs: number;
  /** One byte of grey a pixel; empty where this view has no example. */
  readonly frames: readonly Uint8Array[];
}

interface WorkerScope {
  addEventListener(kind: 'message', listen: (event: MessageEvent<ToExampleWorker>) => void): void;
  postMessage(message: FromExampleWorker, handOver: Transferable[]): void;
}
const scope = globalThis as unknown as WorkerScope;
const WIDTH_PX = 480;
const HEIGHT_PX = 360;

scope.addEventListener('message', ({ data }) => {
  const size = { widthPx: WIDTH_PX, heightPx: HEIGHT_PX };
  if (!(phantomViews as readonly string[]).includes(data.view))
    return scope.postMessage({ ...size, frameTimeMs: 40, frames: [] }, []);
  const species: PhantomSpecies = data.species === 'cat' || data.species === 'horse' ? data.species : 'dog';
  const wish = {
    ...exampleWish(data.view as PhantomView, species, data.asked?.heart),
    ...size,
    ...data.asked,
  };
  const frames = renderCine(wish, 11).frames.map((luma) => Uint8Array.from(luma));
  return scope.postMessage(
    { ...size, frameTimeMs: wish.frameTimeMs, frames },
    frames.map((f) => f.buffer),
  );
});
