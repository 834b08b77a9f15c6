import { withoutCurrent } from '../drawing';
import { whenEditing } from '../editing';
import type { Step, ToolContext, ToolEvent, ToolState } from '../tool';
import { idle } from '../tool';
import { whenPlacing } from './placing';
import { whenStroking } from './stroking';

/** Tools that draw a line by hand or by clicks, as one function of state and event. */
export function strokeStep(state: ToolState, event: ToolEvent, context: ToolContext): Step {
  switch (state.name) {
    case 'idle':
    case 'placing':
      return whenPlacing(state, event, context);
    case 'stroking':
      return whenStroking(state, event, context);
    case 'editing':
      return whenEditing(state, event, context, (press) =>
        whenPlacing(idle, press, { ...context, document: withoutCurrent(context.document) }),
      );
    default:
      return whenPlacing(idle, event, context);
  }
}
