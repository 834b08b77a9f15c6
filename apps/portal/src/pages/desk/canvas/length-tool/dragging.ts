import type { Step, ToolContext, ToolEvent } from '../tool';
import { stay } from '../tool';
import type { Dragging, LengthState } from './states';
import { idle } from './states';

/** Shorter than this on the screen it was a click, not a drag: the second end comes with the next press. */
export const CLICK_PX = 4;

export function whenDragging(state: Dragging, event: ToolEvent, context: ToolContext): Step<LengthState> {
  if (event.kind === 'cancel' || event.kind === 'interrupt')
    return { state: idle, edits: [{ length: null }], capture: 'never' };
  if (event.kind === 'move') {
    const length = { frame: context.frame, points: [state.from, context.toFrame(event.at)] as const };
    return { state, edits: [{ length }], capture: 'at-end' };
  }
  if (event.kind !== 'release') return stay(state);
  const from = context.toScreen(state.from);
  const far = Math.hypot(event.at.sx - from.sx, event.at.sy - from.sy) >= CLICK_PX;
  if (!far)
    return { state: { name: 'pointing', from: state.from }, edits: [{ length: null }], capture: 'never' };
  const length = { frame: context.frame, points: [state.from, context.toFrame(event.at)] as const };
  return { state: { name: 'editing', end: 1, held: false }, edits: [{ length }], capture: 'now' };
}
