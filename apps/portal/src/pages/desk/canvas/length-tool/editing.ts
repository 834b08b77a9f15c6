import type { FramePoint } from '@chordae/contract';
import type { DrawnLength, Step, ToolContext, ToolEvent } from '../tool';
import { stay } from '../tool';
import type { Editing, LengthState } from './states';
import { idle } from './states';

/** How near a press must come to take an end, in screen pixels: a gloved finger finds it. */
export const GRAB_PX = 22;

function withEnd(length: DrawnLength, end: 0 | 1, to: FramePoint): DrawnLength {
  return { ...length, points: end === 0 ? [to, length.points[1]] : [length.points[0], to] };
}

function grabbed(
  length: DrawnLength,
  event: Extract<ToolEvent, { at: unknown }>,
  context: ToolContext,
): 0 | 1 | null {
  const far = length.points.map((p) => {
    const s = context.toScreen(p);
    return Math.hypot(s.sx - event.at.sx, s.sy - event.at.sy);
  });
  const end = (far[1] ?? Infinity) <= (far[0] ?? Infinity) ? 1 : 0;
  return (far[end] ?? Infinity) <= GRAB_PX ? end : null;
}

/** A line stands: take an end, nudge it, keep it (complete) or let it go (cancel). */
export function whenEditing(state: Editing, event: ToolEvent, context: ToolContext): Step<LengthState> {
  const { length } = context.document;
  if (!length) return stay(idle);
  switch (event.kind) {
    case 'cancel':
    case 'interrupt':
      return { state: idle, edits: [{ length: null }], capture: 'now' };
    case 'complete':
      return { state: idle, edits: [], capture: 'now' };
    case 'nudge': {
      const now = length.points[state.end];
      const moved = withEnd(length, state.end, { x: now.x + event.dx, y: now.y + event.dy });
      return { state, edits: [{ length: moved }], capture: 'now' };
    }
    case 'press': {
      const end = grabbed(length, event, context);
      if (end !== null) return stay({ name: 'editing', end, held: true });
      // Elsewhere: a new line begins.
      return {
        state: { name: 'dragging', from: context.toFrame(event.at) },
        edits: [{ length: null }],
        capture: 'at-end',
      };
    }
    case 'move':
      if (!state.held) return stay(state);
      return {
        state,
        edits: [{ length: withEnd(length, state.end, context.toFrame(event.at)) }],
        capture: 'at-end',
      };
    default:
      return { state: { ...state, held: false }, edits: [], capture: 'now' };
  }
}
