import { rayCount, rayX, rayY } from '../picture/directions';
import type { Ellipse } from '../picture/ellipse';
import { distanceToEllipse } from '../picture/ellipse';
import type { Plane } from '../picture/plane';
import { valueAt } from '../picture/plane';
import type { WorkingClip } from '../picture/working';

/** What stands on the probe's side of the septum. Lengths as parts of the left cavity's mean radius. */
export interface RightSide {
  /** Depth of the dark space beyond the septum: the right ventricle's crescent. */
  readonly crescent: number;
  /** Sagitta lost by the septum against the circle through its ends: 0 round, 1 a straight line, more when it bulges the other way. */
  readonly flatness: number;
  readonly septumFlat: boolean;
  readonly rightVentricleLarge: boolean;
}

/** Looks along the rays towards the probe: septum, then the dark crescent of the right ventricle. Working pixels. */
export function lookAtRightSide(
  clip: WorkingClip,
  image: Plane,
  e: Ellipse,
  levels: { readonly blood: number; readonly wall: number },
): RightSide {
  const middle = levels.blood + 0.5 * (levels.wall - levels.blood);
  const widths: number[] = [];
  const septum: { x: number; y: number }[] = [];
  for (let ray = 0; ray < rayCount; ray += 1) {
    const dx = rayX[ray] as number;
    const dy = rayY[ray] as number;
    if (dy > -0.5) continue;
    const border = distanceToEllipse(e, e.cx, e.cy, dx, dy);
    const grey = (r: number): number => valueAt(image, e.cx + dx * r, e.cy + dy * r);
    let r = 0.35 * border;
    while (r < 1.5 * border && grey(r) < middle) r += 0.5;
    septum.push({ x: dx * r, y: dy * r });
    // Through the wall, then through the dark.
    let inner = Math.max(r, border) + 1;
    const end = Math.min(3.4 * border, clip.height);
    while (inner < end && grey(inner) >= middle) inner += 0.5;
    let outer = inner;
    while (outer < end && grey(outer) < middle) outer += 0.5;
    widths.push(inner < end ? (outer - inner) / e.radius : 0);
  }
  widths.sort((a, b) => a - b);
  const crescent = widths[Math.floor(0.6 * widths.length)] ?? 0;
  const flatness = flatnessOf(septum);
  return {
    crescent,
    flatness,
    septumFlat: flatness > 0.6 && crescent > 0.5,
    rightVentricleLarge: crescent > 0.66,
  };
}

/** How much shallower than a circle's the arc of the septum is: fits y = c − b x² and compares b with 1 / (2 R). */
function flatnessOf(points: readonly { readonly x: number; readonly y: number }[]): number {
  let [n, sx2, sx4, sy, sx2y, sr] = [0, 0, 0, 0, 0, 0];
  for (const { x, y } of points) {
    const x2 = x * x;
    n += 1;
    sx2 += x2;
    sx4 += x2 * x2;
    sy += y;
    sx2y += x2 * y;
    sr += Math.sqrt(x2 + y * y);
  }
  const det = n * sx4 - sx2 * sx2;
  if (!(det > 1e-9)) return 0;
  const bend = (n * sx2y - sx2 * sy) / det;
  // A circle of the mean radius seen over ±60 degrees bends by about 0.62 / R in this fit, more than 1 / (2 R) at its ends.
  const round = 0.62 / Math.max(1e-6, sr / n);
  return 1 - bend / round;
}
