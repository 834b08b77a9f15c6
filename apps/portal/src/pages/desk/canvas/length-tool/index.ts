import type { Step, ToolContext, ToolEvent } from '../tool';
import { whenDragging } from './dragging';
import { whenEditing } from './editing';
import { whenIdle } from './idle';
import { whenPointing } from './pointing';
import type { LengthState } from './states';

export { idle, type LengthState } from './states';

/** The length tool as one function of state and event. */
export function lengthStep(state: LengthState, event: ToolEvent, context: ToolContext): Step<LengthState> {
  switch (state.name) {
    case 'idle':
      return whenIdle(event, context);
    case 'pointing':
      return whenPointing(state, event, context);
    case 'dragging':
      return whenDragging(state, event, context);
    default:
      return whenEditing(state, event, context);
  }
}
