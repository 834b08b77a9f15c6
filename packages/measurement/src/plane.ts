import type { DrawnScale, FramePoint, Region } from '@chordae/contract';
import type { Measured } from './points';
import { found, unmeasured } from './points';
import { regionOfAll } from './region-at';

/** Where points were drawn and what a pixel is worth there: cm or s across, cm or cm/s down. */
export interface Plane {
  readonly kind: Region['kind'];
  readonly unitX: 'cm' | 's';
  readonly x: number;
  readonly unitY: 'cm' | 'cm/s' | 'none';
  /** Positive for lengths. For velocities with its sign: negative where up is towards the probe. */
  readonly y: number;
  /** Pixel row of zero velocity from the frame's top; null where there is none. */
  readonly zeroY: number | null;
}

/** A point in the plane's own units: cm, s, cm/s. */
export interface PlanePoint {
  readonly x: number;
  readonly y: number;
}

/** Row of zero velocity of a region, from the frame's top; null without a baseline inside it. */
function zeroRow(region: Region): Measured<number> {
  const { referenceY, referenceValueY, deltaY } = region;
  if (referenceY === null) return unmeasured('BASELINE_MISSING');
  if (referenceY < 0 || referenceY > region.y1 - region.y0) return unmeasured('CALIBRATION_IMPLAUSIBLE');
  return found(region.y0 + referenceY - (referenceValueY ?? 0) / deltaY);
}

/** What a pixel is worth where all points lie, or why nothing can be measured there. */
export function planeOf(regions: readonly Region[], points: readonly FramePoint[]): Measured<Plane> {
  const region = regionOfAll(regions, points);
  if (!region.ok) return region;
  const { kind, unitX, unitY, deltaX, deltaY } = region.value;
  if (unitX !== 'cm' && unitX !== 's')
    return unmeasured(kind === '2d' ? 'REGION_WITHOUT_LENGTH' : 'REGION_WITHOUT_TIME');
  const x = Math.abs(deltaX);
  if (unitY === 'cm') return found({ kind, unitX, x, unitY, y: Math.abs(deltaY), zeroY: null });
  if (unitY !== 'cm/s') return found({ kind, unitX, x, unitY: 'none', y: 0, zeroY: null });
  const zero = zeroRow(region.value);
  return found({ kind, unitX, x, unitY, y: deltaY, zeroY: zero.ok ? zero.value : null });
}

/** Is the baseline outside its own region: its velocities cannot be true. */
export function baselineFinding(regions: readonly Region[], points: readonly FramePoint[]) {
  const region = regionOfAll(regions, points);
  const zero = region.ok ? zeroRow(region.value) : region;
  return zero.ok ? unmeasured('BASELINE_MISSING') : zero;
}

/** A frame point in the plane's units; velocities from the baseline, signed. */
export function inPlane(plane: Plane, point: FramePoint): PlanePoint {
  return { x: point.x * plane.x, y: (point.y - (plane.zeroY ?? 0)) * plane.y };
}

/**
 * The scale as it is kept with a drawing. A trace without values has no scale downwards: 1 cm stands there for the form's sake and
 * nothing is computed from it.
 */
export function scaleOf(plane: Plane): DrawnScale {
  return {
    x: plane.x,
    unitX: plane.unitX,
    y: plane.unitY === 'none' ? 1 : Math.abs(plane.y),
    unitY: plane.unitY === 'none' ? 'cm' : plane.unitY,
    baselineY: plane.zeroY,
  };
}
