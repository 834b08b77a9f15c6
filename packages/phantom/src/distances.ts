import type { Ellipsoid, Tube } from './anatomy';

/** Distance to a line piece in the plane. */
export function fromPiece(x: number, y: number, ax: number, ay: number, bx: number, by: number): number {
  const ux = bx - ax;
  const uy = by - ay;
  const t = Math.max(0, Math.min(1, ((x - ax) * ux + (y - ay) * uy) / (ux * ux + uy * uy)));
  const dx = x - ax - t * ux;
  const dy = y - ay - t * uy;
  return Math.sqrt(dx * dx + dy * dy);
}

/** Distance to a line piece in space. */
export function fromRod(
  r: number,
  d: number,
  w: number,
  a: { readonly r: number; readonly d: number; readonly w: number },
  b: { readonly r: number; readonly d: number; readonly w: number },
): number {
  const ur = b.r - a.r;
  const ud = b.d - a.d;
  const uw = b.w - a.w;
  const t = Math.max(
    0,
    Math.min(1, ((r - a.r) * ur + (d - a.d) * ud + (w - a.w) * uw) / (ur * ur + ud * ud + uw * uw)),
  );
  const dr = r - a.r - t * ur;
  const dd = d - a.d - t * ud;
  const dw = w - a.w - t * uw;
  return Math.sqrt(dr * dr + dd * dd + dw * dw);
}

/** Signed distance to a tube's surface, negative inside. */
export function fromTube(r: number, d: number, w: number, tube: Tube): number {
  let least = 1e9;
  for (let n = 1; n < tube.points.length; n += 1)
    least = Math.min(
      least,
      fromRod(r, d, w, tube.points[n - 1] as Tube['points'][0], tube.points[n] as Tube['points'][0]),
    );
  return least - tube.radius;
}

/** Signed distance to an ellipsoid's surface to first order: exact at the surface, good near it. */
export function fromEllipsoid(r: number, d: number, w: number, e: Ellipsoid): number {
  const x = (r - e.at.r) / e.radii.r;
  const y = (d - e.at.d) / e.radii.d;
  const z = (w - e.at.w) / e.radii.w;
  const k = Math.sqrt(x * x + y * y + z * z);
  const gx = x / e.radii.r;
  const gy = y / e.radii.d;
  const gz = z / e.radii.w;
  const g = Math.sqrt(gx * gx + gy * gy + gz * gz);
  if (g < 1e-6) return -Math.min(e.radii.r, e.radii.d, e.radii.w);
  return (k * (k - 1)) / g;
}

/** Smaller of two numbers, rounded where they are about equal (width k): joins bodies without a crease. */
export function softMin(a: number, b: number, k: number): number {
  const h = Math.max(0, k - Math.abs(a - b));
  return Math.min(a, b) - (h * h) / (4 * k);
}
