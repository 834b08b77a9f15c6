import { currentOf, withoutCurrent } from '../drawing';
import type { Step, Stroking, ToolContext, ToolEvent } from '../tool';
import { edited, idle, openPart, screenDistance, stay } from '../tool';
import { drawnOn, finished } from './line';

/** A hand-drawn line takes a point each time the pointer has gone this far, screen pixels. */
const STROKE_PX = 4;
/** So many points in one go and the line was drawn, not clicked: letting go ends it. */
const DRAWN_IN_ONE_GO = 6;

/** The button is down: the line follows the pointer. */
export function whenStroking(state: Stroking, event: ToolEvent, context: ToolContext): Step {
  const open = openPart(currentOf(context.document));
  if (event.kind === 'cancel' || event.kind === 'interrupt')
    return edited(idle, withoutCurrent(context.document), 'now');
  const last = open?.part.points.at(-1);
  if (!open || !last) return stay(idle);
  if (event.kind === 'move') {
    if (screenDistance(context.toScreen(last), event.at) < STROKE_PX) return stay(state);
    return edited(state, drawnOn(context.toFrame(event.at), context), 'at-end');
  }
  if (event.kind !== 'release') return stay(state);
  const inOneGo = open.part.points.length - state.before >= DRAWN_IN_ONE_GO;
  const done = inOneGo ? finished(context) : null;
  return done ?? { state: { name: 'placing', cross: last }, edits: [], capture: 'now' };
}
