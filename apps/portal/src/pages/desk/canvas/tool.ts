import type { FramePoint } from '@chordae/contract';
import type { ScreenPoint } from './camera';

/** A drawn line, in pixels of the frame; the only thing drawn so far. */
export interface DrawnLength {
  readonly frame: number;
  readonly points: readonly [FramePoint, FramePoint];
}

/** What tools change. React draws it; edits are plain values. */
export interface DrawnDocument {
  readonly length: DrawnLength | null;
}

export type ToolEvent =
  | { readonly kind: 'press' | 'move' | 'release'; readonly at: ScreenPoint }
  | { readonly kind: 'nudge'; readonly dx: number; readonly dy: number }
  | { readonly kind: 'complete' }
  | { readonly kind: 'cancel' }
  /** Something else takes over: another tile, another frame, the page goes. */
  | { readonly kind: 'interrupt' };

export interface ToolContext {
  readonly frame: number;
  readonly toFrame: (p: ScreenPoint) => FramePoint;
  readonly toScreen: (p: FramePoint) => ScreenPoint;
  readonly document: DrawnDocument;
}

/** Whether an edit can be undone now, when the gesture ends, or never (because it was only a preview). */
export type Capture = 'now' | 'at-end' | 'never';

export interface Step<S> {
  readonly state: S;
  readonly edits: readonly DrawnDocument[];
  readonly capture: Capture;
}

export function stay<S>(state: S): Step<S> {
  return { state, edits: [], capture: 'never' };
}
