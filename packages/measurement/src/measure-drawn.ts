import type { DrawnShape, FramePoint, Region } from '@chordae/contract';
import type { DiscPlane } from './discs';
import { discsValues } from './discs';
import { angleValues, ellipseValues, lengthValue, outlineValues } from './flat-shapes';
import { traceValues } from './flow-trace';
import type { Plane, PlanePoint } from './plane';
import { baselineFinding, inPlane, planeOf } from './plane';
import type { Measured } from './points';
import { found, unmeasured } from './points';
import type { HalfPixel } from './polygon';
import { ratioValues } from './ratio';
import { slopeValues, timeValues, velocityValues } from './time-shapes';
import type { DrawnValues } from './values';

/** A shape on one frame, in pixels of the frame; `axis` only for discs. */
export interface DrawnOnFrame {
  readonly points: readonly FramePoint[];
  readonly axis?: readonly [FramePoint, FramePoint] | null;
}

/** What was drawn; `second` is the other plane of a volume by discs, with the regions of its own clip where that is another. */
export interface Drawn extends DrawnOnFrame {
  readonly shape: DrawnShape;
  readonly second?: DrawnOnFrame | null;
}

const LEAST_POINTS: Record<DrawnShape, number> = {
  length: 2,
  time: 2,
  slope: 2,
  velocity: 1,
  angle: 3,
  ellipse: 3,
  outline: 3,
  trace: 3,
  discs: 3,
  ratio: 2,
};

/** Shapes with a fixed number of points: more would mean that something else was drawn. */
const MOST_POINTS: Partial<Record<DrawnShape, number>> = {
  length: 2,
  time: 2,
  slope: 2,
  velocity: 1,
  angle: 3,
  ellipse: 3,
  ratio: 2,
};

/**
 * Everything that a drawing says, main value first, each with its unit and with the interval that half a pixel at every point gives;
 * or why nothing is said. Points in pixels; all of them must lie in one region that can carry the shape. Pixels need not be square.
 * Example: two points 30 and 40 pixels apart in a 2D region of 0.08 cm a pixel give a length of 40 mm.
 */
export function measureDrawn(
  regions: readonly Region[],
  drawn: Drawn,
  secondRegions: readonly Region[] = regions,
): DrawnValues {
  if (drawn.points.length < LEAST_POINTS[drawn.shape]) return unmeasured('POINTS_MISSING');
  if (drawn.points.length > (MOST_POINTS[drawn.shape] ?? Infinity)) return unmeasured('POINTS_MISSING');
  if (![...drawn.points, ...(drawn.axis ?? [])].every((p) => Number.isFinite(p.x) && Number.isFinite(p.y)))
    return unmeasured('POINTS_MISSING');
  if (drawn.shape === 'ratio') return ratioValues(drawn.points, drawn.second?.points ?? []);
  if (drawn.shape === 'discs') return measureDiscs(regions, drawn, secondRegions);
  const plane = planeOf(regions, drawn.points);
  if (!plane.ok) return plane;
  const points = drawn.points.map((p) => inPlane(plane.value, p));
  const half = { x: plane.value.x / 2, y: Math.abs(plane.value.y) / 2 };
  switch (drawn.shape) {
    case 'length':
      return lengthIn(plane.value, points, half);
    case 'time':
    case 'slope':
      return overTime(plane.value, drawn.shape, points, half);
    case 'velocity':
    case 'trace':
      return flowIn(regions, drawn, plane.value, points, half);
    default:
      return flatIn(plane.value, drawn.shape, points, half);
  }
}

const pair = (p: readonly PlanePoint[]) => [p[0] as PlanePoint, p[1] as PlanePoint] as const;
const triple = (p: readonly PlanePoint[]) =>
  [p[0] as PlanePoint, p[1] as PlanePoint, p[2] as PlanePoint] as const;

function isFlat(plane: Plane): boolean {
  return plane.kind === '2d' && plane.unitX === 'cm' && plane.unitY === 'cm';
}

/** In M-mode only depth is a length (PS3.3 C.8.5.5.1.17). */
function lengthIn(plane: Plane, points: readonly PlanePoint[], half: HalfPixel): DrawnValues {
  if (isFlat(plane)) return found([lengthValue(pair(points), half)]);
  if (plane.kind !== 'm-mode' || plane.unitY !== 'cm') return unmeasured('REGION_WITHOUT_LENGTH');
  const [a, b] = pair(points.map((p) => ({ x: 0, y: p.y })));
  return found([lengthValue([a, b], { x: 0, y: half.y })]);
}

function flatIn(
  plane: Plane,
  shape: DrawnShape,
  points: readonly PlanePoint[],
  half: HalfPixel,
): DrawnValues {
  if (!isFlat(plane)) return unmeasured('REGION_WITHOUT_AREA');
  if (shape === 'angle') return angleValues(triple(points), half);
  if (shape === 'ellipse') return ellipseValues(triple(points), half);
  return outlineValues(points, half);
}

function overTime(
  plane: Plane,
  shape: 'time' | 'slope',
  points: readonly PlanePoint[],
  half: HalfPixel,
): DrawnValues {
  if (plane.unitX !== 's') return unmeasured('REGION_WITHOUT_TIME');
  const [a, b] = pair(points);
  if (shape === 'time') return timeValues(a, b, half);
  if (plane.unitY === 'none') return unmeasured('REGION_WITHOUT_SLOPE');
  return slopeValues(plane, a, b, half);
}

function flowIn(
  regions: readonly Region[],
  drawn: Drawn,
  plane: Plane,
  points: readonly PlanePoint[],
  half: HalfPixel,
): DrawnValues {
  const spectral = plane.kind === 'spectral' || plane.kind === 'trace';
  if (!spectral || plane.unitX !== 's' || plane.unitY !== 'cm/s')
    return unmeasured('REGION_WITHOUT_VELOCITY');
  if (plane.zeroY === null) return baselineFinding(regions, drawn.points);
  return drawn.shape === 'trace'
    ? traceValues(points, half)
    : found(velocityValues(points[0] as PlanePoint, half));
}

function measureDiscs(
  regions: readonly Region[],
  drawn: Drawn,
  secondRegions: readonly Region[],
): DrawnValues {
  const first = discPlane(regions, drawn);
  if (!first.ok) return first;
  const second = drawn.second ? discPlane(secondRegions, drawn.second) : null;
  if (second && !second.ok) return second;
  return discsValues(first.value, second?.value ?? null);
}

function discPlane(regions: readonly Region[], drawn: DrawnOnFrame): Measured<DiscPlane> {
  if (!drawn.axis || drawn.points.length < LEAST_POINTS.discs) return unmeasured('POINTS_MISSING');
  const plane = planeOf(regions, [...drawn.points, ...drawn.axis]);
  if (!plane.ok) return plane;
  if (!isFlat(plane.value)) return unmeasured('REGION_WITHOUT_AREA');
  const at = (p: FramePoint) => inPlane(plane.value, p);
  const half = { x: plane.value.x / 2, y: plane.value.y / 2 };
  return found({ wall: drawn.points.map(at), axis: [at(drawn.axis[0]), at(drawn.axis[1])], half });
}
