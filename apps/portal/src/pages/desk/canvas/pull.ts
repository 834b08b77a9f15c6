import type { FramePoint } from '@chordae/contract';

/**
 * A line with one of its points moved and its neighbours drawn along, less the farther they are along the line, none beyond `reach`
 * (all in frame pixels). Moving back gives the line that was.
 */
export function pulled(
  points: readonly FramePoint[],
  at: number,
  to: FramePoint,
  reach: number,
  closed: boolean,
): FramePoint[] {
  const from = points[at];
  if (!from) return [...points];
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const away = distancesAlong(points, at, closed);
  return points.map((p, n) => {
    const far = (away[n] ?? Infinity) / Math.max(reach, 1e-9);
    const share = far >= 1 ? 0 : (1 + Math.cos(Math.PI * far)) / 2;
    return { x: p.x + dx * share, y: p.y + dy * share };
  });
}

/** How far each point is from one of them along the line, the shorter way round where it is closed. */
function distancesAlong(points: readonly FramePoint[], at: number, closed: boolean): number[] {
  const step = (a: FramePoint | undefined, b: FramePoint | undefined) =>
    a && b ? Math.hypot(a.x - b.x, a.y - b.y) : 0;
  const upTo: number[] = [0];
  for (let n = 1; n < points.length; n += 1) upTo.push((upTo[n - 1] ?? 0) + step(points[n - 1], points[n]));
  const round = (upTo.at(-1) ?? 0) + step(points.at(-1), points[0]);
  return points.map((_, n) => {
    const there = Math.abs((upTo[n] ?? 0) - (upTo[at] ?? 0));
    return closed ? Math.min(there, round - there) : there;
  });
}

/** Every so many of a hand-drawn line's points, first and last kept, so that no more than `most` stay. */
export function thinned(points: readonly FramePoint[], most: number): readonly FramePoint[] {
  if (points.length <= most) return points;
  const out: FramePoint[] = [];
  for (let n = 0; n < most; n += 1)
    out.push(points[Math.round((n * (points.length - 1)) / (most - 1))] as FramePoint);
  return out;
}

/** The axis of a chamber drawn as a wall: from the middle between its ends to the point farthest from there. */
export function axisOf(wall: readonly FramePoint[]): readonly [FramePoint, FramePoint] | null {
  const [first, last] = [wall[0], wall.at(-1)];
  if (!first || !last || wall.length < 3) return null;
  const base = { x: (first.x + last.x) / 2, y: (first.y + last.y) / 2 };
  const away = (p: FramePoint) => Math.hypot(p.x - base.x, p.y - base.y);
  return [base, wall.reduce((far, p) => (away(p) > away(far) ? p : far), first)];
}
