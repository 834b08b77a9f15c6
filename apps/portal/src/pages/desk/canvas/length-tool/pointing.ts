import type { Step, ToolContext, ToolEvent } from '../tool';
import { stay } from '../tool';
import type { LengthState, Pointing } from './states';
import { idle } from './states';

/** One end stands, the other follows; the next press sets it. */
export function whenPointing(state: Pointing, event: ToolEvent, context: ToolContext): Step<LengthState> {
  if (event.kind === 'cancel' || event.kind === 'interrupt')
    return { state: idle, edits: [{ length: null }], capture: 'never' };
  if (event.kind !== 'move' && event.kind !== 'press') return stay(state);
  const length = { frame: context.frame, points: [state.from, context.toFrame(event.at)] as const };
  if (event.kind === 'move') return { state, edits: [{ length }], capture: 'at-end' };
  return { state: { name: 'editing', end: 1, held: true }, edits: [{ length }], capture: 'now' };
}
