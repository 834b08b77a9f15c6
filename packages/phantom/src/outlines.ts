import { exactCos, exactSin } from '@chordae/units';
import type { Anatomy } from './anatomy';
import type { CutPlane } from './cut-plane';
import type { Fan } from './fan';
import type { HeartNow } from './heart';
import type { Vector } from './vectors';
import { dot, plus } from './vectors';

/** A closed outline on the screen: x and y in turn, pixels. */
export type Outline = Float64Array;

const rays = 96;
const directions = Array.from({ length: rays }, (_, n) => ({
  cos: exactCos((2 * Math.PI * n) / rays),
  sin: exactSin((2 * Math.PI * n) / rays),
}));

/** Screen place of a point of the plane. */
export function toScreen(fan: Fan, plane: CutPlane, point: Vector): { x: number; y: number } {
  const from = plus(point, plane.target, -1);
  return {
    x: fan.apexX + dot(from, plane.right) * fan.pxPerCm,
    y: fan.apexY + (fan.faceCm + plane.targetDepth + dot(from, plane.down)) * fan.pxPerCm,
  };
}

/** Where the line through `on` along `axis` meets the plane; null where it runs nearly in it. */
export function meets(plane: CutPlane, on: Vector, axis: Vector): Vector | null {
  const slope = dot(axis, plane.normal);
  if (Math.abs(slope) < 0.3) return null;
  return plus(on, axis, dot(plus(plane.target, on, -1), plane.normal) / slope);
}

/** Outline of what `inside` says, seen from a point in it, along rays of the plane; null where the point is not inside. */
export function outlineRound(
  inside: (r: number, d: number, w: number) => boolean,
  centre: Vector,
  reach: number,
  plane: CutPlane,
  fan: Fan,
): Outline | null {
  if (!inside(centre.r, centre.d, centre.w)) return null;
  const out = new Float64Array(2 * rays);
  directions.forEach(({ cos, sin }, n) => {
    const along = plus(
      { r: plane.right.r * cos, d: plane.right.d * cos, w: plane.right.w * cos },
      plane.down,
      sin,
    );
    const holds = (t: number): boolean =>
      inside(centre.r + along.r * t, centre.d + along.d * t, centre.w + along.w * t);
    const step = reach / 64;
    let low = 0;
    while (low < reach && holds(low + step)) low += step;
    let high = low + step;
    for (let k = 0; k < 20; k += 1) {
      const middle = (low + high) / 2;
      if (holds(middle)) low = middle;
      else high = middle;
    }
    const at = toScreen(fan, plane, plus(centre, along, low));
    out[2 * n] = at.x;
    out[2 * n + 1] = at.y;
  });
  return out;
}

/** Left ventricle's outline now: about its axis on a short axis, about its middle on a long one. */
export function cavityOutline(heart: HeartNow, anatomy: Anatomy, plane: CutPlane, fan: Fan): Outline | null {
  const axis = { r: 0, d: 0, w: 1 };
  const origin = { r: 0, d: 0, w: 0 };
  const centre =
    meets(plane, origin, axis) ??
    plus(origin, plane.normal, dot(plus(plane.target, origin, -1), plane.normal));
  return outlineRound((r, d, w) => heart.inCavity(r, d, w), centre, 2.2 * anatomy.halfLength, plane, fan);
}

/** Outline of the aortic root now. */
export function rootOutline(heart: HeartNow, anatomy: Anatomy, plane: CutPlane, fan: Fan): Outline | null {
  const { at, axis, radius } = anatomy.aorta;
  const centre = meets(plane, at, axis);
  if (!centre) return null;
  return outlineRound((r, d, w) => heart.inRoot(r, d, w), centre, 5 * radius, plane, fan);
}

export interface OutlineShape {
  readonly areaPx2: number;
  readonly centre: { readonly x: number; readonly y: number };
  /** Shorter by longer axis of the ellipse with the same second moments. */
  readonly axisRatio: number;
}

/** Area, centre and axis ratio of an outline (polygon moments by Green's theorem; Steger 1996, 'On the calculation of arbitrary moments of polygons'). */
export function outlineShape(outline: Outline): OutlineShape {
  const count = outline.length / 2;
  const [ox, oy] = [outline[0] as number, outline[1] as number];
  let [a, mx, my, xx, yy, xy] = [0, 0, 0, 0, 0, 0];
  for (let n = 0; n < count; n += 1) {
    const x0 = (outline[2 * n] as number) - ox;
    const y0 = (outline[2 * n + 1] as number) - oy;
    const x1 = (outline[(2 * n + 2) % outline.length] as number) - ox;
    const y1 = (outline[(2 * n + 3) % outline.length] as number) - oy;
    const turn = x0 * y1 - x1 * y0;
    a += turn / 2;
    mx += (turn * (x0 + x1)) / 6;
    my += (turn * (y0 + y1)) / 6;
    xx += (turn * (x0 * x0 + x0 * x1 + x1 * x1)) / 12;
    yy += (turn * (y0 * y0 + y0 * y1 + y1 * y1)) / 12;
    xy += (turn * (2 * x0 * y0 + x0 * y1 + x1 * y0 + 2 * x1 * y1)) / 24;
  }
  const [cx, cy] = [mx / a, my / a];
  const vx = xx / a - cx * cx;
  const vy = yy / a - cy * cy;
  const vxy = xy / a - cx * cy;
  const mean = (vx + vy) / 2;
  const off = Math.sqrt(((vx - vy) / 2) * ((vx - vy) / 2) + vxy * vxy);
  return {
    areaPx2: Math.abs(a),
    centre: { x: cx + ox, y: cy + oy },
    axisRatio: Math.sqrt((mean - off) / (mean + off)),
  };
}

/** Pixels whose middle lies within an outline: 1 inside, 0 outside. */
export function outlineMask(outline: Outline, widthPx: number, heightPx: number): Uint8Array {
  const mask = new Uint8Array(widthPx * heightPx);
  const count = outline.length / 2;
  for (let y = 0; y < heightPx; y += 1) {
    const cuts: number[] = [];
    for (let n = 0; n < count; n += 1) {
      const y0 = (outline[2 * n + 1] as number) - 0.5;
      const y1 = (outline[(2 * n + 3) % outline.length] as number) - 0.5;
      if (y0 <= y === y1 <= y) continue;
      const x0 = (outline[2 * n] as number) - 0.5;
      const x1 = (outline[(2 * n + 2) % outline.length] as number) - 0.5;
      cuts.push(x0 + ((y - y0) / (y1 - y0)) * (x1 - x0));
    }
    cuts.sort((p, q) => p - q);
    for (let k = 0; k + 1 < cuts.length; k += 2)
      for (
        let x = Math.max(0, Math.ceil(cuts[k] as number));
        x <= Math.min(widthPx - 1, Math.floor(cuts[k + 1] as number));
        x += 1
      )
        mask[y * widthPx + x] = 1;
  }
  return mask;
}
