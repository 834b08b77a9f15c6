import type { FramePoint } from '@chordae/contract';
import type { DrawnDocument, Part } from '../drawing';
import { currentOf, withPart } from '../drawing';
import { withAxis } from '../editing';
import { documentWith, fitsHere } from '../point-tool/put';
import { thinned } from '../pull';
import type { PartSpec } from '../specs';
import type { Step, ToolContext } from '../tool';
import { edited, nextSpec, openPart, resumed } from '../tool';

/** Points of a line that are kept: as many as a drawing may have, and few enough to take one by hand. */
export const MOST_POINTS = 120;

export type StrokeSpec = Extract<PartSpec, { kind: 'stroke' }>;

export function strokeSpec(context: ToolContext): StrokeSpec | null {
  const drawing = currentOf(context.document);
  const spec = nextSpec(context.spec, drawing && fitsHere(drawing, context) ? drawing : null);
  return spec?.kind === 'stroke' ? spec : null;
}

/** The document with the line drawn on to a point; where only forward counts, going back takes back. */
export function drawnOn(point: FramePoint, context: ToolContext): DrawnDocument {
  const open = openPart(currentOf(context.document));
  const spec = context.spec.parts[open?.at ?? 0];
  if (!open || spec?.kind !== 'stroke' || !spec.forward) return documentWith(point, context);
  return withPart(context.document, open.at, (part) => {
    const [first] = part.points;
    const kept = part.points.filter((p, n) => n === 0 || p.x < point.x);
    return first && point.x <= first.x ? { ...part, points: [first] } : { ...part, points: [...kept, point] };
  });
}

/** The open line is done, where it has enough points: thinned, with its axis, ready for the next part or for editing. */
export function finished(context: ToolContext): Step | null {
  const open = openPart(currentOf(context.document));
  const spec = context.spec.parts[open?.at ?? 0];
  if (!open || spec?.kind !== 'stroke' || open.part.points.length < spec.least) return null;
  const close = (part: Part): Part => {
    const done = { ...part, points: thinned(part.points, MOST_POINTS), done: true };
    return spec.axis ? withAxis(done) : done;
  };
  const document = withPart(context.document, open.at, close);
  return edited(resumed(document, context.spec), document, 'now');
}
