import type { AssessedRoot } from '@chordae/contract';
import { spreadFrames } from '../gray-frame';
import { rayCount, rayX, rayY } from '../picture/directions';
import type { Ellipse } from '../picture/ellipse';
import { axisRatio, distanceToEllipse, ellipseAxes, ellipsePolygon, stretchDepth } from '../picture/ellipse';
import type { Plane } from '../picture/plane';
import { valueAt } from '../picture/plane';
import type { WorkingClip } from '../picture/working';
import type { FitLimits, FitWeights, WallFit } from '../short-axis/fit-outline';
import { fitOutline } from '../short-axis/fit-outline';
import { tiltOfAxisRatio } from '../short-axis/plane-assessment';
import { makePolarMap, polarLevels, polarMapOf, samplePolar } from '../short-axis/polar-map';
import type { RootSeed } from './root-seeds';
import { findRootSeeds } from './root-seeds';

const weights: FitWeights = {
  inside: 0.8,
  edge: 1.4,
  ring: 0.15,
  rim: 1,
  roundness: 2,
  roundFrom: 0,
  farEdge: 1,
  papillaryStep: 0,
};

/** Echo thickness makes the root's depth read short, as it does the ventricle's; chosen on the developing phantoms. */
export const rootDepthStretch = 0.97;

/** Its wall's thick echo covers part of its inside; likewise. */
const rootBloom = 1.12;

/** Below what any sentence about the probe rests on. */
export const mostRootConfidence = 0.3;

export const roundBelowDeg = 20;
export const obliqueAboveDeg = 26;

export const rootUnseen: AssessedRoot = {
  verdict: 'not-assessable',
  axisRatio: null,
  tiltDeg: null,
  longDiameterDeg: null,
  solidSideFraction: null,
  outline: null,
  confidence: 0,
  reasons: ['ROOT_NOT_FOUND'],
};

interface Candidate {
  readonly fit: WallFit;
  readonly frame: Plane;
  readonly value: number;
}

function limitsAbout(clip: WorkingClip, about: Ellipse): FitLimits {
  return {
    minRadius: 0.038 * clip.height,
    maxRadius: 0.18 * clip.height,
    x: about.cx,
    y: about.cy,
    roam: 0.4 * about.radius,
    minAxisRatio: 0.55,
    minOuter: 1.08,
    maxOuter: 1.7,
  };
}

function fitRound(clip: WorkingClip, frame: Plane, start: Ellipse, rounds: number): WallFit | null {
  let fit: WallFit | null = null;
  for (let round = 0; round < rounds; round += 1) {
    const about: Ellipse = fit?.inner ?? start;
    const map = makePolarMap(
      frame,
      about.cx,
      about.cy,
      about.radius,
      clip.brightLimit * 1.5,
      undefined,
      true,
    );
    fit = fitOutline(map, about, fit?.outer ?? 1.25, limitsAbout(clip, about), 0.09 * clip.height, weights);
    if (!fit) return null;
  }
  return fit;
}

function tryed(clip: WorkingClip, frame: Plane, seed: RootSeed): Candidate | null {
  const fit = fitRound(clip, frame, { cx: seed.x, cy: seed.y, radius: seed.radius, u: 0, v: 0 }, 2);
  return fit ? { fit, frame, value: fit.score * seed.score } : null;
}

/**
 * The root followed from its best frame into the others, each sampled about its own middle; of every place the 40th centile over the
 * frames counts, so that cusps that open and close vanish, and one ellipse is fitted to that quiet picture.
 */
function overFrames(clip: WorkingClip, frames: readonly Plane[], best: Candidate): Ellipse {
  const { inner } = best.fit;
  const limit = clip.brightLimit * 1.5;
  const reach = 2.6 * inner.radius;
  const greys = [samplePolar(best.frame, inner.cx, inner.cy, reach, limit)];
  for (const frame of frames) {
    if (frame === best.frame) continue;
    const fit = fitRound(clip, frame, inner, 1);
    if (fit && fit.edge >= 0.6 * best.fit.edge && Math.abs(fit.inner.radius / inner.radius - 1) < 0.2)
      greys.push(samplePolar(frame, fit.inner.cx, fit.inner.cy, reach, limit));
  }
  const first = greys[0] as Float32Array;
  const column = new Float32Array(greys.length);
  const quiet = first.map((_, n) => {
    greys.forEach((grey, k) => {
      column[k] = grey[n] as number;
    });
    column.sort();
    return column[Math.floor(0.4 * (greys.length - 1))] as number;
  });
  const levels = polarLevels(quiet, quiet.length / rayCount, inner.radius);
  const map = polarMapOf(quiet, inner.cx, inner.cy, inner.radius, levels, true);
  const fit = fitOutline(map, inner, best.fit.outer, limitsAbout(clip, inner), 0.09 * clip.height, weights);
  return fit ? { ...inner, u: fit.inner.u, v: fit.inner.v, radius: fit.inner.radius } : inner;
}

/** Roundness of the aortic root in a short axis at the valve: the root is nearly a tube, so cos tilt is its axis ratio. */
export function assessAorticRoot(clip: WorkingClip): AssessedRoot {
  const frames = spreadFrames(clip.frames, 12);
  const candidates = frames
    .flatMap((frame) => findRootSeeds(clip, frame, 3).map((seed) => ({ frame, seed })))
    .sort((a, b) => b.seed.score - a.seed.score)
    .slice(0, 10)
    .map(({ frame, seed }) => tryed(clip, frame, seed))
    .filter((c) => c !== null)
    .sort((a, b) => b.value - a.value);
  const best = candidates[0];
  if (!best || best.fit.edge < 0.1) return rootUnseen;
  const elsewhere = candidates.find((c) => {
    const dx = c.fit.inner.cx - best.fit.inner.cx;
    const dy = c.fit.inner.cy - best.fit.inner.cy;
    return dx * dx + dy * dy > best.fit.inner.radius * best.fit.inner.radius;
  });
  const lead = elsewhere ? Math.max(0, 1 - elsewhere.value / best.value) : 1;
  const e = overFrames(clip, frames, best);
  const seen = stretchDepth(e, rootDepthStretch, 0);
  const q = axisRatio(seen);
  const tiltDeg = tiltOfAxisRatio(q, 0);
  const sides = solidSides(clip, best.frame, best.fit);
  const small = e.radius < 7;
  // Even on phantoms the roundness is measured too coarsely to tell an oblique root: never sure.
  const confidence = Math.min(
    mostRootConfidence,
    Math.max(0, Math.min(1, (best.fit.edge - 0.1) / 0.4)) *
      Math.max(0.3, Math.min(1, 0.4 + 3 * lead)) *
      (small ? 0.6 : 1),
  );
  const reasons: AssessedRoot['reasons'] = [];
  if (best.fit.edge < 0.3) reasons.push('ROOT_RING_FAINT');
  if (small) reasons.push('ROOT_PICTURE_TOO_SMALL');
  if (tiltDeg > roundBelowDeg && sides.left - sides.right > 0.3) reasons.push('ROOT_MUSCLE_ON_LEFT');
  if (tiltDeg > roundBelowDeg && sides.right - sides.left > 0.3) reasons.push('ROOT_MUSCLE_ON_RIGHT');
  const original: Ellipse = {
    ...e,
    cx: clip.window.x0 + e.cx * clip.scale,
    cy: clip.window.y0 + e.cy * clip.scale,
    radius: e.radius * rootBloom * clip.scale,
  };
  return {
    verdict:
      confidence < 0.2
        ? 'not-assessable'
        : tiltDeg < roundBelowDeg
          ? 'round'
          : tiltDeg > obliqueAboveDeg
            ? 'oblique'
            : 'borderline',
    axisRatio: q,
    tiltDeg,
    longDiameterDeg: (ellipseAxes(seen).angleRad * 180) / Math.PI,
    solidSideFraction: sides.all,
    outline: ellipsePolygon(original, 48),
    confidence,
    reasons,
  };
}

/** Part of the rays (all; those to the left; those to the right) that meet thick muscle 1.3 to 1.75 radii out instead of another chamber. */
function solidSides(
  clip: WorkingClip,
  quiet: Plane,
  fit: WallFit,
): { readonly all: number; readonly left: number; readonly right: number } {
  const e = fit.inner;
  const level = 0.5 * clip.brightLimit;
  const counts = { all: [0, 0], left: [0, 0], right: [0, 0] };
  for (let ray = 0; ray < rayCount; ray += 1) {
    const dx = rayX[ray] as number;
    const dy = rayY[ray] as number;
    const r = distanceToEllipse(e, e.cx, e.cy, dx, dy);
    let sum = 0;
    for (const part of [1.35, 1.5, 1.65])
      sum += valueAt(quiet, e.cx + dx * part * r, e.cy + dy * part * r) / 3;
    const solid = sum > level ? 1 : 0;
    const add = (into: number[]): void => {
      into[0] = (into[0] as number) + solid;
      into[1] = (into[1] as number) + 1;
    };
    add(counts.all);
    if (dx < -0.5) add(counts.left);
    if (dx > 0.5) add(counts.right);
  }
  const share = ([n = 0, of = 1]: number[]): number => n / Math.max(1, of);
  return { all: share(counts.all), left: share(counts.left), right: share(counts.right) };
}
