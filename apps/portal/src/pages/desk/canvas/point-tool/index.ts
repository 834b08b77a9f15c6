import { withoutCurrent } from '../drawing';
import { whenEditing } from '../editing';
import type { Step, ToolContext, ToolEvent, ToolState } from '../tool';
import { idle } from '../tool';
import { whenDragging } from './dragging';
import { whenIdle } from './idle';
import { whenPlacing } from './placing';

/** Tools that put single points, as one function of state and event. */
export function pointStep(state: ToolState, event: ToolEvent, context: ToolContext): Step {
  switch (state.name) {
    case 'idle':
      return whenIdle(state, event, context);
    case 'placing':
      return whenPlacing(state, event, context);
    case 'dragging':
      return whenDragging(state, event, context);
    case 'editing':
      return whenEditing(state, event, context, (press) =>
        whenIdle(idle, press, { ...context, document: withoutCurrent(context.document) }),
      );
    default:
      return whenIdle(idle, event, context);
  }
}
