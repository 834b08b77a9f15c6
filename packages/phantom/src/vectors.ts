/** Points and directions in a heart, cm: r cranial (right of a short axis), d away from the right chest, w towards the base. */
export interface Vector {
  readonly r: number;
  readonly d: number;
  readonly w: number;
}

export function vector(r: number, d: number, w: number): Vector {
  return { r, d, w };
}

export function plus(a: Vector, b: Vector, times = 1): Vector {
  return { r: a.r + times * b.r, d: a.d + times * b.d, w: a.w + times * b.w };
}

export function scaledBy(a: Vector, factor: number): Vector {
  return { r: a.r * factor, d: a.d * factor, w: a.w * factor };
}

export function dot(a: Vector, b: Vector): number {
  return a.r * b.r + a.d * b.d + a.w * b.w;
}

export function cross(a: Vector, b: Vector): Vector {
  return { r: a.d * b.w - a.w * b.d, d: a.w * b.r - a.r * b.w, w: a.r * b.d - a.d * b.r };
}

export function unit(a: Vector): Vector {
  return scaledBy(a, 1 / Math.sqrt(dot(a, a)));
}
