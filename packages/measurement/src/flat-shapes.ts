import { exactAtan2 } from '@chordae/units';
import type { PlanePoint } from './plane';
import { found, unmeasured } from './points';
import type { HalfPixel } from './polygon';
import { areaDoubt, doubleArea, pathLength } from './polygon';
import type { DrawnValue, DrawnValues } from './values';
import { drawnValue, hypotenuse } from './values';

const DEGREES = 180 / Math.PI;

/** Length between two points in cm, given in mm. Example: (0,0) (3,4) cm is 50 mm. */
export function lengthValue(
  [a, b]: readonly [PlanePoint, PlanePoint],
  half: HalfPixel,
  quantity: DrawnValue['quantity'] = 'length',
): DrawnValue {
  const path = pathLength([a, b], half, false);
  return drawnValue(quantity, 'mm', 10 * path.value, 10 * path.least, 10 * path.most);
}

/**
 * Half the range of directions in which the second end may lie, radians: the ends' difference may be a whole pixel off in each
 * direction. π where the two cannot be told apart.
 */
function directionDoubt(from: PlanePoint, to: PlanePoint, half: HalfPixel): number {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const [w, h] = [2 * half.x, 2 * half.y];
  if (Math.abs(dx) <= w && Math.abs(dy) <= h) return Math.PI;
  let most = 0;
  for (const x of [dx - w, dx + w])
    for (const y of [dy - h, dy + h])
      most = Math.max(most, exactAtan2(Math.abs(dx * y - dy * x), dx * x + dy * y));
  return most;
}

/**
 * Angle at the second of three points in degrees, 0 to 180, in physical space (pixels need not be square). The interval takes both
 * arms at their worst at once and is therefore a little wide. Example: (1,0) (0,0) (0,1) is 90°.
 */
export function angleValues(
  [a, corner, b]: readonly [PlanePoint, PlanePoint, PlanePoint],
  half: HalfPixel,
): DrawnValues {
  const [p, q] = [
    { x: a.x - corner.x, y: a.y - corner.y },
    { x: b.x - corner.x, y: b.y - corner.y },
  ];
  const [cross, dot] = [p.x * q.y - p.y * q.x, p.x * q.x + p.y * q.y];
  if (cross === 0 && dot === 0) return unmeasured('DRAWING_WITHOUT_SIZE');
  const angle = exactAtan2(Math.abs(cross), dot);
  const doubt = directionDoubt(corner, a, half) + directionDoubt(corner, b, half);
  return found([
    drawnValue(
      'angle',
      'deg',
      angle * DEGREES,
      Math.max(0, angle - doubt) * DEGREES,
      Math.min(Math.PI, angle + doubt) * DEGREES,
    ),
  ]);
}

/** Area (cm²) and circumference (mm) of a closed outline in cm. Example: a square of side 2 has 4 cm² and 80 mm. */
export function outlineValues(points: readonly PlanePoint[], half: HalfPixel): DrawnValues {
  if (points.length < 3) return unmeasured('POINTS_MISSING');
  const area = Math.abs(doubleArea(points)) / 2;
  if (area === 0) return unmeasured('DRAWING_WITHOUT_SIZE');
  const doubt = areaDoubt(points, half);
  const round = pathLength(points, half, true);
  return found([
    drawnValue('area', 'cm2', area, Math.max(0, area - doubt), area + doubt),
    drawnValue('circumference', 'mm', 10 * round.value, 10 * round.least, 10 * round.most),
  ]);
}

/**
 * Area (cm²) and both axes (mm) of an ellipse from the two ends of one axis and a point that the other axis reaches to: the second
 * half axis is that point's distance from the first axis. Example: (−3,0) (3,0) (0,2) has 6π cm², axes 60 and 40 mm.
 */
export function ellipseValues(
  [a, b, side]: readonly [PlanePoint, PlanePoint, PlanePoint],
  half: HalfPixel,
): DrawnValues {
  const first = hypotenuse(b.x - a.x, b.y - a.y);
  const triangle = Math.abs(doubleArea([a, b, side])) / 2;
  if (first === 0 || triangle === 0) return unmeasured('DRAWING_WITHOUT_SIZE');
  // The triangle's area is (first half axis) × (second half axis).
  const doubt = areaDoubt([a, b, side], half);
  const firstAxis = lengthValue([a, b], half, 'long-axis');
  const second = (4 * triangle) / first;
  const { more, less } = reachDoubt(a, b, side, hypotenuse(half.x, half.y));
  const secondAxis = drawnValue(
    'short-axis',
    'mm',
    10 * second,
    10 * Math.max(0, second - less),
    10 * (second + more),
  );
  const [long, short] = second > first ? [secondAxis, firstAxis] : [firstAxis, secondAxis];
  return found([
    drawnValue(
      'area',
      'cm2',
      Math.PI * triangle,
      Math.PI * Math.max(0, triangle - doubt),
      Math.PI * (triangle + doubt),
    ),
    { ...long, quantity: 'long-axis' },
    { ...short, quantity: 'short-axis' },
  ]);
}

/**
 * By how much the second axis (twice the side point's distance from the first) may be more and less when each point moves by
 * `by`. The line's points move by `by` times the foot's lever, how many half axes it lies from the middle and at least 1. So
 * the distance grows by at most that and the point's own move; and shrinks by at most the same with the longest lever that
 * the moved points can have, which matters where the first axis is a few pixels long.
 */
function reachDoubt(
  a: PlanePoint,
  b: PlanePoint,
  side: PlanePoint,
  by: number,
): { more: number; less: number } {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const first = hypotenuse(dx, dy);
  const [sx, sy] = [side.x - (a.x + b.x) / 2, side.y - (a.y + b.y) / 2];
  const along = Math.abs(sx * dx + sy * dy) / first;
  const away = Math.abs(sx * dy - sy * dx) / first;
  const shortest = first - 2 * by;
  const lever = (2 * along) / first;
  const longest =
    shortest > 0 ? (2 * (along + 2 * by + (away * 2 * by) / first)) / shortest : Number.POSITIVE_INFINITY;
  return { more: 4 * by * Math.max(1, lever), less: 4 * by * Math.max(1, longest) };
}
