import { currentOf, withoutCurrent } from '../drawing';
import type { Dragging, Step, ToolContext, ToolEvent } from '../tool';
import { CLICK_PX, edited, idle, screenDistance, stay } from '../tool';
import { put } from './put';

/** Held since a point was put: letting go far from it puts the next, letting go there awaits the next press. */
export function whenDragging(state: Dragging, event: ToolEvent, context: ToolContext): Step {
  if (event.kind === 'cancel' || event.kind === 'interrupt')
    return edited(idle, withoutCurrent(context.document), 'now');
  if (event.kind === 'move') return stay({ name: 'dragging', cross: context.toFrame(event.at) });
  if (event.kind !== 'release') return stay(state);
  const drawing = currentOf(context.document);
  const from = (drawing?.parts.find((p) => !p.done) ?? drawing?.parts.at(-1))?.points.at(-1);
  const at = context.toFrame(event.at);
  if (!from || screenDistance(context.toScreen(from), event.at) < CLICK_PX)
    return stay({ name: 'placing', cross: at });
  return put(at, context, (cross) => ({ name: 'placing', cross }), false);
}
