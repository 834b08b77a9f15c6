import type { Step, ToolContext, ToolEvent } from '../tool';
import { stay } from '../tool';
import type { LengthState } from './states';
import { idle } from './states';

/** Idle: a press sets the first end; nothing else does anything. */
export function whenIdle(event: ToolEvent, context: ToolContext): Step<LengthState> {
  if (event.kind !== 'press') return stay(idle);
  return stay({ name: 'dragging', from: context.toFrame(event.at) });
}
