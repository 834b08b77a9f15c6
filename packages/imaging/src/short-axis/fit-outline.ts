import { rayCount, rayX, rayY } from '../picture/directions';
import type { Ellipse } from '../picture/ellipse';
import { distanceToEllipse } from '../picture/ellipse';
import type { PolarMap } from './polar-map';
import { raySectors } from './polar-map';

/** Inner ellipse of the wall and, with the same middle and shape, its outer border at `outer` times the size. */
export interface WallFit {
  readonly inner: Ellipse;
  readonly outer: number;
  readonly score: number;
  /** Mean step from blood to wall along the outline, −0.5 to 1. */
  readonly edge: number;
  readonly rim: number;
}

export interface FitLimits {
  readonly minRadius: number;
  readonly maxRadius: number;
  /** The middle stays within this distance of (x, y). */
  readonly x: number;
  readonly y: number;
  readonly roam: number;
  readonly minAxisRatio: number;
  /** Thinnest wall: outer border as a multiple of the inner; 1.22 where not said. */
  readonly minOuter?: number;
  /** Thickest wall likewise; 6 where not said. */
  readonly maxOuter?: number;
}

export interface FitWeights {
  readonly inside: number;
  readonly edge: number;
  readonly ring: number;
  readonly rim: number;
  readonly roundness: number;
  /** Elongation (m of the ellipse) from which it costs. */
  readonly roundFrom: number;
  /** Share of an edge in the half away from the probe, where papillary muscles hide it. */
  readonly farEdge: number;
  /** Worth of a step from papillary muscle down to the wall's grey. */
  readonly papillaryStep: number;
}

export const usualWeights: FitWeights = {
  inside: 1.2,
  edge: 1,
  ring: 0.6,
  rim: 1.2,
  roundness: 6,
  roundFrom: 0.2,
  farEdge: 0.2,
  papillaryStep: 1,
};

/** Weight of an edge on a ray: papillary muscles hide it. */
const hidden = Float64Array.from(raySectors, (s) => (s === 'papillary' ? 1 : 0));

interface Judged {
  score: number;
  edge: number;
  rim: number;
}

const judged: Judged = { score: 0, edge: 0, rim: 0 };

/** Judges an ellipse on a polar map: dark inside, a step at it, bright beyond it, and an outer border. About 2 µs. */
function judge(map: PolarMap, e: Ellipse, outer: number, reference: number, w: FitWeights): Judged | null {
  const { count } = map;
  let inside = 0;
  let edge = 0;
  let edgeWeight = 0;
  let ring = 0;
  let rim = 0;
  for (let ray = 0; ray < rayCount; ray += 1) {
    const dx = rayX[ray] as number;
    const dy = rayY[ray] as number;
    const r = distanceToEllipse(e, map.cx, map.cy, dx, dy);
    if (r < 0) return null;
    const far = distanceToEllipse(e, map.cx, map.cy, dx, dy, outer);
    const at = Math.min(count - 1.001, r);
    const k = Math.floor(at);
    const part = at - k;
    const base = ray * (count + 1) + k;
    const a = map.inside[base] as number;
    inside += a + ((map.inside[base + 1] as number) - a) * part;
    // Steps are kept at pixel borders: the value for distance k lies between samples k − 1 and k.
    const e0 = map.edge[ray * count + k] as number;
    const e1 = map.edge[ray * count + Math.min(count - 1, k + 1)] as number;
    const weight = 1 - (hidden[ray] as number) * (1 - w.farEdge);
    const step = e0 + (e1 - e0) * part;
    // A papillary muscle is often a little brighter than the wall behind it: there a step downwards marks the wall's border too.
    edge += hidden[ray] === 1 && step < 0 ? -w.papillaryStep * step : step * weight;
    edgeWeight += weight;
    const ringEnd = Math.min(
      count,
      Math.max(k + 2, Math.floor(r + Math.min(0.6 * (far - r), 0.5 * e.radius))),
    );
    ring +=
      ((map.bright[ray * (count + 1) + ringEnd] as number) - (map.bright[base] as number)) /
      Math.max(1, ringEnd - k);
    const o = Math.min(count - 1, Math.floor(far));
    if (far < count - 1) {
      const r0 = map.rim[ray * count + o] as number;
      const r1 = map.rim[ray * count + Math.min(count - 1, o + 1)] as number;
      rim += r0 + (r1 - r0) * (far - o);
    }
  }
  const m2 = e.u * e.u + e.v * e.v;
  // A section tipped by 40 degrees has m = 0.24; what is flatter is rather the dark cap over the papillary muscles.
  const flatness = Math.max(0, Math.sqrt(m2) - w.roundFrom);
  // Radius of the disc that the dark surplus would fill, in units of the reference; counts less and less, lest a large dark space draw it.
  const darkness = Math.sqrt(Math.max(0, (2 * inside) / rayCount)) / reference;
  judged.edge = edge / edgeWeight;
  judged.rim = rim / rayCount;
  judged.score =
    (w.inside * darkness) / (1 + 0.35 * darkness) +
    w.edge * judged.edge +
    (w.ring * ring) / rayCount +
    w.rim * judged.rim -
    w.roundness * flatness * flatness;
  return judged;
}

const parts = ['cx', 'cy', 'radius', 'u', 'v', 'outer'] as const;

function allowed(e: Ellipse, outer: number, limits: FitLimits): boolean {
  const dx = e.cx - limits.x;
  const dy = e.cy - limits.y;
  const m2 = e.u * e.u + e.v * e.v;
  const q = Math.sqrt(1 + m2) - Math.sqrt(m2);
  return (
    e.radius >= limits.minRadius &&
    e.radius <= limits.maxRadius &&
    dx * dx + dy * dy <= limits.roam * limits.roam &&
    q >= limits.minAxisRatio &&
    outer >= (limits.minOuter ?? 1.22) &&
    outer <= (limits.maxOuter ?? 6)
  );
}

/** The ellipse, made rounder where it is longer than is allowed. */
function rounder(e: Ellipse, minAxisRatio: number): Ellipse {
  const most = 0.95 * ((1 / minAxisRatio - minAxisRatio) / 2);
  const m = Math.sqrt(e.u * e.u + e.v * e.v);
  return m > most ? { ...e, u: (e.u * most) / m, v: (e.v * most) / m } : e;
}

/** Coordinate moves uphill from a start; `reference` is the radius that areas are measured by. */
export function fitOutline(
  map: PolarMap,
  start: Ellipse,
  startOuter: number,
  limits: FitLimits,
  reference: number,
  weights: FitWeights = usualWeights,
): WallFit | null {
  const state = {
    ...rounder(start, limits.minAxisRatio),
    outer: Math.max(limits.minOuter ?? 1.22, startOuter),
  };
  const first = judge(map, state, state.outer, reference, weights);
  if (!first) return null;
  let best = first.score;
  const steps = {
    cx: reference * 0.16,
    cy: reference * 0.16,
    radius: reference * 0.16,
    u: 0.12,
    v: 0.12,
    outer: 0.25,
  };
  for (let halving = 0; halving < 5; halving += 1) {
    for (let round = 0; round < 10; round += 1) {
      let better = false;
      for (const part of parts) {
        for (const sign of [1, -1]) {
          const before = state[part];
          const beforeOuter = state.outer;
          state[part] = before + sign * steps[part];
          // The outer border stays where it is when the cavity changes size.
          if (part === 'radius') state.outer = (beforeOuter * before) / state.radius;
          const reached = allowed(state, state.outer, limits)
            ? judge(map, state, state.outer, reference, weights)
            : null;
          if (reached && reached.score > best + 1e-7) {
            best = reached.score;
            better = true;
            break;
          }
          state[part] = before;
          state.outer = beforeOuter;
        }
      }
      if (!better) break;
    }
    for (const part of parts) steps[part] /= 2;
  }
  const last = judge(map, state, state.outer, reference, weights) as Judged;
  const { outer, ...inner } = state;
  return { inner, outer, score: last.score, edge: last.edge, rim: last.rim };
}
