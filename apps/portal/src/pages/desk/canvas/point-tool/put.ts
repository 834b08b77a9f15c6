import type { FramePoint } from '@chordae/contract';
import type { Drawing, DrawnDocument, Part } from '../drawing';
import { currentOf, partFrom, withNew, withPart, withParts } from '../drawing';
import type { Step, ToolContext, ToolState } from '../tool';
import { edited, nextSpec, openPart, resumed } from '../tool';

/** May the next point be put here, or does it begin anew. */
export function fitsHere(drawing: Drawing, context: ToolContext): boolean {
  const open = openPart(drawing);
  const here = (p: Part) => p.clipId === context.clipId && p.frame === context.frame;
  if (open) return here(open.part);
  const { together } = context.spec;
  if (together === 'frame') return drawing.parts.every(here);
  return together === 'anywhere' || drawing.parts.every((p) => p.clipId === context.clipId);
}

/** Where time runs across, a set's borders stand in one column. */
function placed(point: FramePoint, first: FramePoint | undefined, context: ToolContext): FramePoint {
  return context.spec.column && first && context.overTime(first) ? { x: first.x, y: point.y } : point;
}

/** The document with one point more: in the open part, in the next one, or in a new drawing. */
export function documentWith(point: FramePoint, context: ToolContext): DrawnDocument {
  const { document, spec, tool } = context;
  const found = currentOf(document);
  const drawing = found && nextSpec(spec, found) && fitsHere(found, context) ? found : null;
  const part = nextSpec(spec, drawing);
  const full = (length: number) => part?.kind === 'points' && length >= part.count;
  if (!drawing) return withNew(document, tool, partFrom(context, point, full(1)));
  const open = openPart(drawing);
  if (!open) return withParts(document, (parts) => [...parts, partFrom(context, point, full(1))]);
  return withPart(document, open.at, (p) => {
    const points = [...p.points, placed(point, p.points[0], context)];
    return { ...p, points, done: full(points.length) };
  });
}

/** Puts a point; `waiting` is the state while further points are awaited. */
export function put(
  point: FramePoint,
  context: ToolContext,
  waiting: (cross: FramePoint) => ToolState,
  held: boolean,
): Step {
  const document = documentWith(point, context);
  const state = resumed(document, context.spec);
  if (state.name !== 'editing') return edited(waiting(point), document, 'now');
  const part = currentOf(document)?.parts[state.part] ?? null;
  return edited({ ...state, base: held ? part : null }, document, 'now');
}
