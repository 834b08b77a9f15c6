import type { Anatomy } from './anatomy';
import type { Chamber } from './chambers';
import { atriumGap, rightGaps, rootRadius } from './chambers';
import { fromPiece, fromRod, softMin } from './distances';
import type { Echo } from './echo';
import { blood, fluid, muscle, put, putSheet, wallOfVessel } from './echo';
import type { Moment } from './heart-beat';
import type { MovingVentricle } from './left-ventricle';
import { moveVentricle } from './left-ventricle';
import { aorticCusps, mitralTendons, mitralValve } from './valves';
import type { Vector } from './vectors';
import { cross, plus, unit, vector } from './vectors';

/** Writes what the heart (and what lies round it) sends back from a place now. */
export type HeartEcho = (r: number, d: number, w: number, echo: Echo) => void;

export interface Papillary {
  readonly foot: Vector;
  readonly head: Vector;
  readonly radius: number;
}

/** Papillary muscles at end diastole, from the free wall near the apex to their heads. */
export function papillaries(anatomy: Anatomy): Papillary[] {
  const { radius, halfLength } = anatomy;
  return anatomy.papillary.map(({ cos, sin, radius: thick }) => {
    const foot = 0.84 * radius;
    const head = 0.76 * radius;
    return {
      foot: vector(sin * foot, cos * foot, -0.5 * halfLength),
      head: vector(sin * head, cos * head, 0.06 * halfLength),
      radius: thick,
    };
  });
}

/** Axes of the aortic root: along, and two across (p to the right, q down on a short axis). */
export function rootAxes(anatomy: Anatomy): { a: Vector; p: Vector; q: Vector } {
  const a = anatomy.aorta.axis;
  const p = unit(plus(vector(1, 0, 0), a, -a.r));
  return { a, p, q: cross(a, p) };
}

/** One moment of a beating heart. */
export interface HeartNow {
  readonly echo: HeartEcho;
  readonly ventricle: MovingVentricle;
  /** Whether a place now lies in the left ventricle's cavity (papillary muscles and leaflets counted in), and in the aortic root. */
  inCavity(r: number, d: number, w: number): boolean;
  inRoot(r: number, d: number, w: number): boolean;
  /** The chamber that a place now lies in. */
  chamberAt(r: number, d: number, w: number): Chamber | null;
}

export function heartAt(anatomy: Anatomy, moment: Moment): HeartNow {
  const ventricle = moveVentricle(anatomy, moment);
  const place = new Float64Array(3);
  const left = leftHeart(anatomy, moment, ventricle);
  const right = rightHeart(anatomy, moment);
  const round = surroundings(anatomy);
  const twist = 0.16 * moment.contraction;
  const echoAt: HeartEcho = (r, d, w, echo) => {
    ventricle.still(r, d, w, place);
    const r0 = place[0] as number;
    const d0 = place[1] as number;
    const w0 = place[2] as number;
    // Wringing: apex and base turn against each other; only the grain of the tissue shows it.
    const turn = twist * Math.max(-1, Math.min(0.6, w0 / anatomy.halfLength));
    echo[3] = r0 - turn * d0;
    echo[4] = d0 + turn * r0;
    echo[5] = w0;
    const beyondLeft = left(r0, d0, w0, echo);
    if (beyondLeft <= 0) return;
    const beyondRight = right(r0, d0, w0, echo);
    if (beyondRight <= 0) return;
    round(softMin(beyondLeft, beyondRight, 0.3 * anatomy.unit), r0, d0, echo);
  };
  const axes = rootAxes(anatomy);
  const { aorta, base } = anatomy;
  const atrium = atriumGap(anatomy, moment);
  const gapsOf = rightGaps(anatomy, moment);
  const gaps = new Float64Array(4);
  const inCavity = (r: number, d: number, w: number): boolean => {
    ventricle.still(r, d, w, place);
    const w0 = place[2] as number;
    return w0 < base && ventricle.inner(place[0] as number, place[1] as number, w0) < 0;
  };
  const inRoot = (r: number, d: number, w: number): boolean => {
    ventricle.still(r, d, w, place);
    const x = (place[0] as number) - aorta.at.r;
    const y = (place[1] as number) - aorta.at.d;
    const z = (place[2] as number) - aorta.at.w;
    const along = x * axes.a.r + y * axes.a.d + z * axes.a.w;
    if (along < 0 || along > 3 * anatomy.unit) return false;
    const p = x * axes.p.r + y * axes.p.d + z * axes.p.w;
    const q = x * axes.q.r + y * axes.q.d + z * axes.q.w;
    return Math.sqrt(p * p + q * q) < rootRadius(along, aorta.radius);
  };
  return {
    echo: echoAt,
    ventricle,
    inCavity,
    inRoot,
    chamberAt(r, d, w) {
      if (inRoot(r, d, w)) return 'aortic-root';
      if (inCavity(r, d, w)) return 'left-ventricle';
      ventricle.still(r, d, w, place);
      const [r0, d0, w0] = [place[0] as number, place[1] as number, place[2] as number];
      if (w0 < base ? ventricle.outer(r0, d0, w0) < 0 : atrium(r0, d0, w0) < 0)
        return w0 < base ? null : 'left-atrium';
      gapsOf(r0, d0, w0, gaps);
      if (Math.min(gaps[0] as number, gaps[1] as number) < 0) return 'right-ventricle';
      return (gaps[3] as number) < 0 ? 'right-atrium' : null;
    },
  };
}

/** Gives 0 when it has written the echo, else the distance to the left heart's outside. */
function leftHeart(
  anatomy: Anatomy,
  moment: Moment,
  ventricle: MovingVentricle,
): (r: number, d: number, w: number, echo: Echo) => number {
  const { unit: u, base, aorta, size } = anatomy;
  const axes = rootAxes(anatomy);
  const cusps = aorticCusps(aorta.radius, moment.aortic);
  const mitral = mitralValve(anatomy, moment);
  const cavity = cavityOf(anatomy, moment);
  const tendons = mitralTendons(
    anatomy,
    moment,
    papillaries(anatomy).map((p) => p.head),
  );
  const atrium = atriumOf(anatomy, moment);
  const wallOfRoot = 0.085 * u;
  const ridgeAt = base - 0.3 * u;
  return (r, d, w, echo) => {
    const ar = r - aorta.at.r;
    const ad = d - aorta.at.d;
    const aw = w - aorta.at.w;
    const along = ar * axes.a.r + ad * axes.a.d + aw * axes.a.w;
    const p = ar * axes.p.r + ad * axes.p.d + aw * axes.p.w;
    const q = ar * axes.q.r + ad * axes.q.d + aw * axes.q.w;
    const rho = Math.sqrt(p * p + q * q);
    let root = 9;
    if (along > -0.02 * u && along < 3.2 * u) {
      root = rho - rootRadius(along, aorta.radius);
      if (root < wallOfRoot && w > base - 0.05 * u) {
        if (root < 0) {
          put(echo, blood, -root, 0.62, 0.35, 0);
          cusps(along, p, q, echo);
        } else put(echo, wallOfVessel, Math.min(root, wallOfRoot - root), 0.62, 1, 0.35);
        return 0;
      }
    }
    if (w < base) {
      const inner = ventricle.inner(r, d, w);
      if (inner < 0) {
        put(echo, blood, -inner, 0.42, 0.35, 0);
        cavity(r, d, w, echo);
        tendons(r, d, w, echo);
        mitral(r, d, w, echo);
        if (size.outflowRidge > 0 && Math.abs(w - ridgeAt) < 0.11 * u) {
          const free = aorta.radius * (1 - size.outflowRidge);
          if (rho > free && rho < aorta.radius * 1.5 && q < 0.3 * aorta.radius)
            put(echo, 0.4, Math.min(rho - free, 0.11 * u - Math.abs(w - ridgeAt)), 0.5, 1.1, 0.3);
        }
        return 0;
      }
      const outer = ventricle.outer(r, d, w);
      if (outer < 0) {
        put(echo, muscle, Math.min(inner, -outer), inner < -outer ? 0.42 : 0.3, 1, 1);
        return 0;
      }
      return outer;
    }
    const inAtrium = atrium(r, d, w, echo);
    if (inAtrium <= 0) {
      if (w < base + 0.55 * u) mitral(r, d, w, echo);
      return 0;
    }
    const outer = ventricle.outer(r, d, w);
    // Muscle and fat of the groove between ventricle and atrium.
    if (outer < 0 && w < base + 0.22 * u) {
      put(echo, muscle * 1.1, Math.min(w - base, -outer), 0.35, 1, 0.5);
      return 0;
    }
    return Math.min(inAtrium, root - wallOfRoot, Math.max(outer, w - base - 0.22 * u));
  };
}

/** Papillary muscles in the cavity. They keep their own size while the cavity narrows round them. */
function cavityOf(anatomy: Anatomy, moment: Moment): (r: number, d: number, w: number, echo: Echo) => void {
  const { size } = anatomy;
  const narrow = 1 - (1 - size.lvIdsCm / size.lvIddCm) * moment.contraction;
  const muscles = papillaries(anatomy).map((p) => ({
    ...p,
    radius: (p.radius * (1 + 0.05 * moment.contraction)) / Math.sqrt(narrow),
  }));
  return (r, d, w, echo) => {
    // Their feet melt into the wall, so that no line shows between.
    let gap = echo[1] as number;
    for (const m of muscles) gap = softMin(gap, fromRod(r, d, w, m.foot, m.head) - m.radius, 0.8 * m.radius);
    if (gap < 0) put(echo, muscle * 1.1, -gap, 0.42, 1, 0.45);
    else {
      echo[1] = gap;
      echo[2] = 0.42;
    }
  };
}

/** Left atrium and its auricle, ended above by the septum between the atria: 0 when written, else the distance to their wall's outside. */
function atriumOf(anatomy: Anatomy, moment: Moment): (r: number, d: number, w: number, echo: Echo) => number {
  const gapOf = atriumGap(anatomy, moment);
  const wall = 0.075 * anatomy.unit;
  return (r, d, w, echo) => {
    const gap = gapOf(r, d, w);
    if (gap < 0) {
      put(echo, blood, -gap, 0.4, 0.35, 0);
      return 0;
    }
    if (gap < wall) {
      put(echo, muscle, Math.min(gap, wall - gap), 0.4, 1, 0.7);
      return 0;
    }
    return gap - wall;
  };
}

/** Right ventricle, atrium, outflow and pulmonary artery: 0 when written, else the distance to their outside. */
function rightHeart(
  anatomy: Anatomy,
  moment: Moment,
): (r: number, d: number, w: number, echo: Echo) => number {
  const { unit: u, base, outflow, pulmonaryValve, rightWall } = anatomy;
  const gapsOf = rightGaps(anatomy, moment);
  const gaps = new Float64Array(4);
  const tricuspid = tricuspidValve(anatomy, moment);
  const valveOpen = moment.aortic;
  const thin = 0.07 * u;
  return (r, d, w, echo) => {
    gapsOf(r, d, w, gaps);
    const tube = gaps[0] as number;
    const chamber = gaps[1] as number;
    const fork = gaps[2] as number;
    const atrium = gaps[3] as number;
    const vessel = Math.min(softMin(tube, chamber, 0.2 * u), fork);
    const gap = Math.min(vessel, atrium);
    if (gap < 0) {
      put(echo, blood, -gap, 0.34, 0.35, 0);
      if (tube < 0 && Math.abs(w - pulmonaryValve.w) < 0.5 * u) pulmonaryCusps(r, d, w, echo);
      if (w > base - 0.9 * u && w < base + 0.3 * u && tube > 0) tricuspid(r, d, w, echo);
      return 0;
    }
    // Muscle round ventricle and its outflow, a thin wall round atrium and artery.
    const muscular = Math.min(chamber, w < pulmonaryValve.w ? tube : 9);
    if (muscular < rightWall) {
      put(echo, muscle * 0.95, Math.min(muscular, rightWall - muscular), 0.34, 1, 0.7);
      return 0;
    }
    if (gap < thin) {
      put(echo, wallOfVessel, Math.min(gap, thin - gap), 0.45, 1, 0.6);
      return 0;
    }
    return Math.min(gap - thin, muscular - rightWall);
  };
  function pulmonaryCusps(r: number, d: number, w: number, echo: Echo): void {
    const before = outflow.points[1] as Vector;
    const along = unit(plus(pulmonaryValve, before, -1));
    const x = r - pulmonaryValve.r;
    const y = d - pulmonaryValve.d;
    const z = w - pulmonaryValve.w;
    const t = x * along.r + y * along.d + z * along.w;
    const rho = Math.sqrt(Math.max(0, x * x + y * y + z * z - t * t));
    const shut = Math.abs(t - 0.3 * (outflow.radius - rho));
    const opened = t > 0 && t < outflow.radius ? Math.abs(rho - 0.84 * outflow.radius) : 9;
    putSheet(echo, valveOpen > 0.5 ? opened : shut, 0.026 * u, 0.2, 0.5);
  }
}

/** Tricuspid leaflets between right atrium and ventricle. */
function tricuspidValve(
  anatomy: Anatomy,
  moment: Moment,
): (r: number, d: number, w: number, echo: Echo) => void {
  const { base, unit: u, baseRadius, size, rightVentricle } = anatomy;
  const septal = -(baseRadius + 0.75 * size.ivsdCm);
  const free = rightVentricle.at.d - 0.9 * rightVentricle.radii.d;
  const meet = 0.5 * (septal + free);
  const open = moment.mitral;
  const ring = base + 0.13 * u;
  const length = (0.3 + 0.42 * open) * u;
  const apart = 0.42 * (septal - free) * open + 0.02 * u;
  return (r, d, w, echo) => {
    const side = (r + 0.35 * u) / (0.85 * u);
    const full = 1 - side * side;
    if (full <= 0) return;
    const s = fromPiece(d, w, septal, ring, meet + apart * full, ring - length * full);
    const f = fromPiece(d, w, free, ring, meet - apart * full, ring - length * full);
    putSheet(echo, Math.min(s, f), 0.026 * u, muscle, 0.5);
  };
}

/** Fluid, pericardium and lung, by the distance beyond the heart. Fluid lies in pockets, deeper on the far side. */
function surroundings(anatomy: Anatomy): (beyond: number, r: number, d: number, echo: Echo) => void {
  const { size, unit: u } = anatomy;
  const sac = 0.06 * u;
  return (beyond, r, d, echo) => {
    const rho = Math.sqrt(r * r + d * d) + 1e-9;
    const far = d / rho;
    const three = 4 * far * far * far - 3 * far;
    const past = beyond - size.effusionCm * (0.85 + 0.25 * far);
    if (past < 0) {
      put(echo, fluid, Math.min(beyond, -past), beyond < -past ? 0.4 : 0.9, 0.3, 0);
      return;
    }
    if (past < sac) {
      put(echo, 0.6, Math.abs(past - 0.5 * sac), 1.7, 1.2, 0.72);
      return;
    }
    const outside = past - sac - size.pleuralCm * Math.max(0.12, 0.72 + 0.3 * far - 0.45 * three);
    if (outside < 0 && size.pleuralCm > 0) {
      put(echo, fluid * 1.3, Math.min(past - sac, -outside), past - sac < -outside ? 0.9 : 1.3, 0.3, 0);
      return;
    }
    // Lung: bright at its surface, haze behind it that fades.
    const lung = outside / u;
    const fading = 1 / (1 + 1.5 * lung + 0.6 * lung * lung);
    put(echo, 0.34 * fading + 0.035, outside, lung < 0.1 ? 1.2 : 0.2, 1.1, 0.1);
  };
}
