import type { Idle, Step, ToolContext, ToolEvent } from '../tool';
import { stay } from '../tool';
import { put } from './put';

/** Nothing yet: a press puts the first point; the keyboard first shows the cross, then puts it there. */
export function whenIdle(state: Idle, event: ToolEvent, context: ToolContext): Step {
  if (event.kind === 'press')
    return put(context.toFrame(event.at), context, (cross) => ({ name: 'dragging', cross }), true);
  if (event.kind === 'put')
    return state.cross
      ? put(state.cross, context, (cross) => ({ name: 'placing', cross }), false)
      : stay({ name: 'idle', cross: context.centre });
  if (event.kind === 'nudge' && state.cross)
    return stay({ name: 'idle', cross: { x: state.cross.x + event.dx, y: state.cross.y + event.dy } });
  if (event.kind === 'cancel' || event.kind === 'interrupt') return stay({ name: 'idle', cross: null });
  return stay(state);
}
