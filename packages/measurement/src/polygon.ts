import type { PlanePoint } from './plane';

/** Half a pixel in the plane's units. */
export interface HalfPixel {
  readonly x: number;
  readonly y: number;
}

const after = (points: readonly PlanePoint[], n: number): PlanePoint =>
  points[(n + 1) % points.length] as PlanePoint;
const before = (points: readonly PlanePoint[], n: number): PlanePoint =>
  points[(n + points.length - 1) % points.length] as PlanePoint;

/**
 * Twice the signed area of a closed outline, units of the points squared (the surveyor's formula); from its first point, so that
 * far-away outlines lose no digits. Example: the square (0,0) (3,0) (3,3) (0,3) gives 18.
 */
export function doubleArea(points: readonly PlanePoint[]): number {
  const origin = points[0];
  if (!origin) return 0;
  let sum = 0;
  points.forEach((p, n) => {
    const q = after(points, n);
    sum += (p.x - origin.x) * (q.y - origin.y) - (q.x - origin.x) * (p.y - origin.y);
  });
  return sum;
}

/**
 * How far the area may be off when each point is moved by up to half a pixel in both directions, units of the points squared:
 * the worst case of the linear part, and a bound of the rest. Example: the square of side 3 with half pixels of 0.5 gives 7.
 */
export function areaDoubt(points: readonly PlanePoint[], half: HalfPixel): number {
  let sum = 0;
  points.forEach((_, n) => {
    const [p, q] = [before(points, n), after(points, n)];
    sum += half.x * Math.abs(q.y - p.y) + half.y * Math.abs(q.x - p.x);
  });
  return sum / 2 + points.length * half.x * half.y;
}

/**
 * Length of a line with its least and most: each side by half a pixel at both of its ends. `closed` joins the last point to the
 * first. Example: (0,0) (3,4) with no doubt gives 5.
 */
export function pathLength(
  points: readonly PlanePoint[],
  half: HalfPixel,
  closed: boolean,
): { readonly value: number; readonly least: number; readonly most: number } {
  const out = { value: 0, least: 0, most: 0 };
  points.forEach((p, n) => {
    if (!closed && n === points.length - 1) return;
    const q = after(points, n);
    const [dx, dy] = [Math.abs(q.x - p.x), Math.abs(q.y - p.y)];
    out.value += Math.sqrt(dx * dx + dy * dy);
    const [lx, ly] = [Math.max(0, dx - 2 * half.x), Math.max(0, dy - 2 * half.y)];
    out.least += Math.sqrt(lx * lx + ly * ly);
    out.most += Math.sqrt((dx + 2 * half.x) * (dx + 2 * half.x) + (dy + 2 * half.y) * (dy + 2 * half.y));
  });
  return out;
}
