import type { FramePoint } from '@chordae/contract';

/** Nothing drawn, waiting for a first press. */
export interface Idle {
  readonly name: 'idle';
}
/** The first end is set, the second follows the pointer until the next press. */
export interface Pointing {
  readonly name: 'pointing';
  readonly from: FramePoint;
}
/** The button is held down: the second end is where it is let go. */
export interface Dragging {
  readonly name: 'dragging';
  readonly from: FramePoint;
}
/** A line stands; `end` is taken with the pointer, or moved by the arrow keys. */
export interface Editing {
  readonly name: 'editing';
  readonly end: 0 | 1;
  readonly held: boolean;
}

export type LengthState = Idle | Pointing | Dragging | Editing;
export const idle: Idle = { name: 'idle' };
