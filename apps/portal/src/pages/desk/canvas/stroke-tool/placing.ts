import { currentOf, withoutCurrent, withParts } from '../drawing';
import type { Idle, Placing, Step, ToolContext, ToolEvent } from '../tool';
import { edited, idle, openPart, screenDistance, stay } from '../tool';
import { drawnOn, finished } from './line';

/** A press this near to a closed line's first point closes it, screen pixels. */
const CLOSE_PX = 14;

/** Nothing yet, or a line begun by clicks: a press draws on, completing ends the line. */
export function whenPlacing(state: Placing | Idle, event: ToolEvent, context: ToolContext): Step {
  const open = openPart(currentOf(context.document));
  const cross = state.cross;
  switch (event.kind) {
    case 'cancel':
    case 'interrupt':
      return state.name === 'idle' ? stay(idle) : edited(idle, withoutCurrent(context.document), 'now');
    case 'press': {
      const spec = context.spec.parts[open?.at ?? 0];
      const [first] = open?.part.points ?? [];
      const closes = spec?.kind === 'stroke' && spec.closed && first;
      if (closes && screenDistance(context.toScreen(first), event.at) <= CLOSE_PX) {
        const done = finished(context);
        if (done) return done;
      }
      const before = open?.part.points.length ?? 0;
      return edited({ name: 'stroking', before }, drawnOn(context.toFrame(event.at), context), 'at-end');
    }
    case 'put':
      if (!cross) return stay({ name: 'idle', cross: context.centre });
      return edited({ name: 'placing', cross }, drawnOn(cross, context), 'now');
    case 'nudge':
      if (!cross) return stay(state);
      return stay({ ...state, cross: { x: cross.x + event.dx, y: cross.y + event.dy } });
    case 'move':
      return state.name === 'idle' ? stay(state) : stay({ ...state, cross: context.toFrame(event.at) });
    case 'complete':
      return finished(context) ?? wholeLinesOnly(state, context);
    default:
      return stay(state);
  }
}

/** The second line was not drawn, or hardly begun: the first stands alone. */
function wholeLinesOnly(state: Placing | Idle, context: ToolContext): Step {
  const whole = currentOf(context.document)?.parts.filter((p) => p.done) ?? [];
  const last = whole.at(-1);
  if (!last) return stay(state);
  const document = withParts(context.document, () => whole);
  return edited(
    { name: 'editing', part: whole.length - 1, point: last.points.length - 1, base: null },
    document,
    'now',
  );
}
