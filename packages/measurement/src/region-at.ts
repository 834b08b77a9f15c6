import type { FramePoint, Region } from '@chordae/contract';
import type { Measured } from './points';
import { found, unmeasured } from './points';

function contains(region: Region, point: FramePoint): boolean {
  // Bounds are whole pixels, inclusive: the last pixel reaches to x1 + 1.
  return point.x >= region.x0 && point.x <= region.x1 + 1 && point.y >= region.y0 && point.y <= region.y1 + 1;
}

function area(region: Region): number {
  return (region.x1 - region.x0 + 1) * (region.y1 - region.y0 + 1);
}

/**
 * The region that a click belongs to, by the rule of STANDARDS 1.7: those that hold the point, without graphics and bars;
 * high priority before low, then the smaller; of equals the first. null when there is none.
 */
export function regionAt(regions: readonly Region[], point: FramePoint): Region | null {
  let best: Region | null = null;
  for (const region of regions) {
    if (region.kind === 'other' || !contains(region, point)) continue;
    if (best === null || precedes(region, best)) best = region;
  }
  return best;
}

function precedes(a: Region, b: Region): boolean {
  if (a.highPriority !== b.highPriority) return a.highPriority;
  return area(a) < area(b);
}

function overlap(a: Region, b: Region): boolean {
  return a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1;
}

/** Two 2D regions that lie over one another with the same scale (a colour box over its 2D picture) count as one. */
export function sameScale(a: Region, b: Region): boolean {
  if (a === b) return true;
  const both2d = a.kind === '2d' && b.kind === '2d';
  return (
    both2d &&
    overlap(a, b) &&
    a.unitX === b.unitX &&
    a.unitY === b.unitY &&
    a.deltaX === b.deltaX &&
    a.deltaY === b.deltaY
  );
}

/** The one region that all points belong to, or why there is none. */
export function regionOfAll(regions: readonly Region[], points: readonly FramePoint[]): Measured<Region> {
  const [first, ...others] = points.map((point) => regionAt(regions, point));
  if (first === undefined) return unmeasured('POINTS_MISSING');
  if (first === null && others.every((r) => r === null)) return unmeasured('CALIBRATION_MISSING');
  if (first === null || others.some((r) => r === null || !sameScale(first, r)))
    return unmeasured('POINTS_IN_DIFFERENT_REGIONS');
  if ([first, ...others].some((r) => !r?.usable)) return unmeasured('CALIBRATION_IMPLAUSIBLE');
  return found(first);
}

/** The one region that both end points belong to, or why there is none. */
export function regionOfBoth(regions: readonly Region[], a: FramePoint, b: FramePoint): Measured<Region> {
  return regionOfAll(regions, [a, b]);
}
