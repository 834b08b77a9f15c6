import type { FramePoint } from '@chordae/contract';
import type { ScreenPoint } from './camera';
import type { Drawing, Part } from './drawing';
import { currentOf, withoutCurrent, withPart } from './drawing';
import { axisOf, pulled } from './pull';
import type { PartSpec } from './specs';
import type { Editing, Step, ToolContext, ToolEvent } from './tool';
import { edited, GRAB_PX, idle, screenDistance, stay } from './tool';

/** How far along a hand-drawn line its neighbours come along, screen pixels. */
export const PULL_PX = 44;

/** Points that may be taken: those that were put, and behind them an axis' far end. */
export function handlesOf(part: Part): readonly FramePoint[] {
  return part.axis ? [...part.points, part.axis[1]] : part.points;
}

function grabbed(drawing: Drawing, at: ScreenPoint, context: ToolContext): Editing | null {
  let best: Editing | null = null;
  let nearest = GRAB_PX;
  drawing.parts.forEach((part, n) => {
    if (part.clipId !== context.clipId || part.frame !== context.frame) return;
    handlesOf(part).forEach((p, point) => {
      const far = screenDistance(context.toScreen(p), at);
      // Later points lie on top: of equals the last put is taken.
      if (far <= nearest) {
        nearest = far;
        best = { name: 'editing', part: n, point, base: part };
      }
    });
  });
  return best;
}

/** A part with one of its points moved to a place, as its tool does it. */
export function movedPart(
  part: Part,
  point: number,
  to: FramePoint,
  spec: PartSpec,
  context: ToolContext,
): Part {
  if (point === part.points.length && part.axis)
    return { ...part, axis: [part.axis[0], to], axisByHand: true };
  if (spec.kind === 'points') {
    const column = context.spec.column && context.overTime(to);
    const points = part.points.map((p, n) => {
      if (n === point) return to;
      return column ? { x: to.x, y: p.y } : p;
    });
    return { ...part, points };
  }
  const drawn = pulled(part.points, point, to, PULL_PX / context.scale, spec.closed);
  // Sorted only where time must go on: its order is its meaning.
  const points = spec.forward ? [...drawn].sort((a, b) => a.x - b.x) : drawn;
  return spec.axis ? withAxis({ ...part, points }) : { ...part, points };
}

/** The axis follows the wall; its far end no longer once it was put by hand. */
export function withAxis(part: Part): Part {
  const axis = axisOf(part.points);
  if (!axis) return { ...part, axis: null };
  return { ...part, axis: part.axisByHand && part.axis ? [axis[0], part.axis[1]] : axis };
}

/** A drawing stands: take a point, nudge it, go to the next, set it down (complete) or let it go (cancel). */
export function whenEditing(
  state: Editing,
  event: ToolEvent,
  context: ToolContext,
  begin: (event: ToolEvent) => Step,
): Step {
  const drawing = currentOf(context.document);
  const part = drawing?.parts[state.part];
  const spec = context.spec.parts[state.part];
  if (!drawing || !part || !spec) return stay(idle);
  const move = (from: Part, to: FramePoint) =>
    withPart(context.document, state.part, () => movedPart(from, state.point, to, spec, context));
  switch (event.kind) {
    case 'cancel':
    case 'interrupt':
      return edited(idle, withoutCurrent(context.document), 'now');
    case 'complete':
      return edited(idle, { ...context.document, current: null }, 'now');
    case 'nudge': {
      const now = handlesOf(part)[state.point];
      if (!now) return stay(state);
      return edited(state, move(part, { x: now.x + event.dx, y: now.y + event.dy }), 'now');
    }
    case 'next':
      return stay({ ...nextPoint(drawing, state, event.by), base: null });
    case 'press': {
      const taken = grabbed(drawing, event.at, context);
      return taken ? stay(taken) : begin(event);
    }
    case 'move':
      return state.base ? edited(state, move(state.base, context.toFrame(event.at)), 'at-end') : stay(state);
    case 'release':
      return { state: { ...state, base: null }, edits: [], capture: 'now' };
    default:
      return stay(state);
  }
}

function nextPoint(drawing: Drawing, state: Editing, by: 1 | -1): Editing {
  const all = drawing.parts.flatMap((p, part) => handlesOf(p).map((_, point) => ({ part, point })));
  const now = all.findIndex((h) => h.part === state.part && h.point === state.point);
  const next = all[(now + by + all.length) % all.length];
  return next ? { name: 'editing', ...next, base: null } : state;
}
