import { exactAtan2, exactCos, exactSin } from '@chordae/units';

/**
 * An ellipse by numbers without a seam at the circle: `radius` is that of the circle of equal area, (u, v) points along the long axis
 * with doubled angle. With h = √(1 + u² + v²) and m = √(u² + v²) the half axes are radius · √(h ± m), the axis ratio h − m.
 */
export interface Ellipse {
  readonly cx: number;
  readonly cy: number;
  readonly radius: number;
  readonly u: number;
  readonly v: number;
}

/** Shorter by longer axis, 0 to 1. */
export function axisRatio({ u, v }: Pick<Ellipse, 'u' | 'v'>): number {
  const m2 = u * u + v * v;
  return Math.sqrt(1 + m2) - Math.sqrt(m2);
}

export function ellipseArea({ radius }: Ellipse): number {
  return Math.PI * radius * radius;
}

/** Half axes and the direction of the longer one, radians from the picture's x axis towards y, −π/2 to π/2. */
export function ellipseAxes(e: Ellipse): {
  readonly major: number;
  readonly minor: number;
  readonly angleRad: number;
} {
  const m = Math.sqrt(e.u * e.u + e.v * e.v);
  const h = Math.sqrt(1 + m * m);
  return {
    major: e.radius * Math.sqrt(h + m),
    minor: e.radius * Math.sqrt(Math.max(0, h - m)),
    angleRad: exactAtan2(e.v, e.u) / 2,
  };
}

/** The ellipse with given half axes and direction of the longer one. */
export function ellipseFrom(cx: number, cy: number, major: number, minor: number, angleRad: number): Ellipse {
  const q = minor / major;
  const m = (1 / q - q) / 2;
  return {
    cx,
    cy,
    radius: Math.sqrt(major * minor),
    u: m * exactCos(2 * angleRad),
    v: m * exactSin(2 * angleRad),
  };
}

/** Distance from (x, y) along the unit vector (dx, dy) to the ellipse enlarged by `factor`; −1 where the point lies outside it. */
export function distanceToEllipse(
  e: Ellipse,
  x: number,
  y: number,
  dx: number,
  dy: number,
  factor = 1,
): number {
  const h = Math.sqrt(1 + e.u * e.u + e.v * e.v);
  const px = x - e.cx;
  const py = y - e.cy;
  const a = (h - e.u) * dx * dx - 2 * e.v * dx * dy + (h + e.u) * dy * dy;
  const b = (h - e.u) * px * dx - e.v * (px * dy + py * dx) + (h + e.u) * py * dy;
  const c = (h - e.u) * px * px - 2 * e.v * px * py + (h + e.u) * py * py;
  const r = e.radius * factor;
  const rest = c - r * r;
  return rest > 0 ? -1 : (-b + Math.sqrt(b * b - a * rest)) / a;
}

/** Points of the ellipse, x and y in turn. */
export function ellipsePolygon(e: Ellipse, count: number): number[] {
  const { major, minor, angleRad } = ellipseAxes(e);
  const c = exactCos(angleRad);
  const s = exactSin(angleRad);
  const out: number[] = [];
  for (let n = 0; n < count; n += 1) {
    const along = major * exactCos((2 * Math.PI * n) / count);
    const across = minor * exactSin((2 * Math.PI * n) / count);
    out.push(e.cx + along * c - across * s, e.cy + along * s + across * c);
  }
  return out;
}

/** Stretches the picture's depth (y) about `y0` by a factor: the ellipse there. */
export function stretchDepth(e: Ellipse, factor: number, y0: number): Ellipse {
  const h = Math.sqrt(1 + e.u * e.u + e.v * e.v);
  // Quadratic form of determinant 1 in stretched coordinates, brought back to determinant 1.
  const xx = (h - e.u) * factor;
  const yy = (h + e.u) / factor;
  return {
    cx: e.cx,
    cy: y0 + (e.cy - y0) * factor,
    radius: e.radius * Math.sqrt(factor),
    u: (yy - xx) / 2,
    v: e.v,
  };
}
