import type { Ellipse } from '../picture/ellipse';
import type { Plane } from '../picture/plane';

type Point = readonly [number, number];

/** Convex hull of points (Andrew's monotone chain, 1979), turning one way. */
export function convexHull(points: readonly Point[]): Point[] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const turn = (o: Point, a: Point, b: Point): number =>
    (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
  const half = (list: readonly Point[]): Point[] => {
    const out: Point[] = [];
    for (const p of list) {
      while (out.length >= 2 && turn(out[out.length - 2] as Point, out[out.length - 1] as Point, p) <= 0)
        out.pop();
      out.push(p);
    }
    out.pop();
    return out;
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

/** Ellipse with the area and second moments of a polygon (Steger 1996, 'On the calculation of arbitrary moments of polygons'). Null for an empty one. */
export function ellipseOfPolygon(points: readonly Point[]): Ellipse | null {
  const [ox, oy] = points[0] ?? [0, 0];
  let [a, mx, my, xx, yy, xy] = [0, 0, 0, 0, 0, 0];
  for (let n = 0; n < points.length; n += 1) {
    const p = points[n] as Point;
    const q = points[(n + 1) % points.length] as Point;
    const [x0, y0, x1, y1] = [p[0] - ox, p[1] - oy, q[0] - ox, q[1] - oy];
    const turn = x0 * y1 - x1 * y0;
    a += turn / 2;
    mx += (turn * (x0 + x1)) / 6;
    my += (turn * (y0 + y1)) / 6;
    xx += (turn * (x0 * x0 + x0 * x1 + x1 * x1)) / 12;
    yy += (turn * (y0 * y0 + y0 * y1 + y1 * y1)) / 12;
    xy += (turn * (2 * x0 * y0 + x0 * y1 + x1 * y0 + 2 * x1 * y1)) / 24;
  }
  if (!(Math.abs(a) > 1e-9)) return null;
  const cx = mx / a;
  const cy = my / a;
  const vx = xx / a - cx * cx;
  const vy = yy / a - cy * cy;
  const vxy = xy / a - cx * cy;
  const det = vx * vy - vxy * vxy;
  if (!(det > 1e-12)) return null;
  // The quadratic form is the inverse of the moments, brought to determinant 1.
  const root = Math.sqrt(det);
  return {
    cx: cx + ox,
    cy: cy + oy,
    radius: Math.sqrt(Math.abs(a) / Math.PI),
    u: (vx - vy) / (2 * root),
    v: vxy / root,
  };
}

/** Hull of the dark piece that holds most of a disc's middle, no farther than `reach` from it; null where there is none. */
export function darkHull(
  plane: Plane,
  mask: Uint8Array,
  middle: { readonly x: number; readonly y: number; readonly radius: number },
  level: number,
  reach: number,
): Ellipse | null {
  const { width, height, values } = plane;
  const x0 = Math.max(0, Math.floor(middle.x - reach));
  const x1 = Math.min(width, Math.ceil(middle.x + reach));
  const y0 = Math.max(0, Math.floor(middle.y - reach));
  const y1 = Math.min(height, Math.ceil(middle.y + reach));
  const [w, h] = [x1 - x0, y1 - y0];
  if (w < 3 || h < 3) return null;
  const dark = new Uint8Array(w * h);
  for (let y = 0; y < h; y += 1)
    for (let x = 0; x < w; x += 1) {
      const dx = x + x0 + 0.5 - middle.x;
      const dy = y + y0 + 0.5 - middle.y;
      const at = (y + y0) * width + x + x0;
      if (mask[at] === 1 && (values[at] as number) < level && dx * dx + dy * dy < reach * reach)
        dark[y * w + x] = 1;
    }
  const stack: number[] = [];
  for (let y = 0; y < h; y += 1)
    for (let x = 0; x < w; x += 1) {
      const dx = x + x0 + 0.5 - middle.x;
      const dy = y + y0 + 0.5 - middle.y;
      if (dark[y * w + x] === 1 && dx * dx + dy * dy < 0.3 * middle.radius * middle.radius) {
        dark[y * w + x] = 2;
        stack.push(y * w + x);
      }
    }
  const points: Point[] = [];
  while (stack.length > 0) {
    const at = stack.pop() as number;
    const x = at % w;
    const y = (at - x) / w;
    points.push([x + x0 + 0.5, y + y0 + 0.5]);
    for (const next of [x > 0 ? at - 1 : -1, x < w - 1 ? at + 1 : -1, at - w, at + w])
      if (next >= 0 && next < dark.length && dark[next] === 1) {
        dark[next] = 2;
        stack.push(next);
      }
  }
  return points.length < 12 ? null : ellipseOfPolygon(convexHull(points));
}
