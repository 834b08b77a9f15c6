import { currentOf, withoutCurrent, withParts } from '../drawing';
import type { Placing, Step, ToolContext, ToolEvent } from '../tool';
import { edited, idle, openPart, stay } from '../tool';
import { put } from './put';

/** Some points stand, the next follows the pointer or the arrows; completing keeps the parts that are whole. */
export function whenPlacing(state: Placing, event: ToolEvent, context: ToolContext): Step {
  switch (event.kind) {
    case 'cancel':
    case 'interrupt':
      return edited(idle, withoutCurrent(context.document), 'now');
    case 'move':
      return stay({ name: 'placing', cross: context.toFrame(event.at) });
    case 'nudge':
      return stay({ name: 'placing', cross: { x: state.cross.x + event.dx, y: state.cross.y + event.dy } });
    case 'press':
      return put(context.toFrame(event.at), context, (cross) => ({ name: 'dragging', cross }), true);
    case 'put':
      return put(state.cross, context, (cross) => ({ name: 'placing', cross }), false);
    case 'complete':
      return wholePartsOnly(state, context);
    default:
      return stay(state);
  }
}

function wholePartsOnly(state: Placing, context: ToolContext): Step {
  const drawing = currentOf(context.document);
  const whole = drawing?.parts.filter((p) => p.done) ?? [];
  const last = whole.at(-1);
  if (!drawing || !last) return stay(state);
  const document = openPart(drawing) ? withParts(context.document, () => whole) : context.document;
  const point = last.points.length - 1;
  return edited({ name: 'editing', part: whole.length - 1, point, base: null }, document, 'now');
}
