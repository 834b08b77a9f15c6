import type { AssessedRoot } from '@chordae/contract';
import { spreadFrames } from '../gray-frame';
import { findSpaces } from '../learned/finder/find-spaces';
import { rootNumbers } from '../learned/finder/root-numbers';
import { learnedRootTilt } from '../learned/root-tilt';
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

/** No root is ever surer than this: all was made on computed clips. */
export const mostRootConfidence = 0.7;

/** Lean of the cut's normal to one side, part of its length, from which that side is named: 15 degrees. */
const leanThatCounts = 0.26;

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

/** Where a root may lie, working pixels. */
interface RootSeed {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  readonly score: number;
}

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

function fitAtSeed(clip: WorkingClip, frame: Plane, seed: RootSeed): Candidate | null {
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

/** Best fit at the place that the finder names, over the frames. */
function fitAt(clip: WorkingClip, place: Ellipse): Candidate | null {
  const seed: RootSeed = { x: place.cx, y: place.cy, radius: place.radius, score: 1 };
  const candidates = spreadFrames(clip.frames, 6)
    .map((frame) => fitAtSeed(clip, frame, seed))
    .filter((c) => c !== null)
    .sort((a, b) => b.value - a.value);
  return candidates[0] ?? null;
}

/**
 * A short axis at the valve: the learned finder says where the root lies, the learned tilt how far the cut stands from square to it. The
 * root is nearly a tube, so the cosine of the tilt is its axis ratio; measured on the picture that is coarse, and only lowers the
 * confidence where it says otherwise.
 */
export function assessAorticRoot(clip: WorkingClip): AssessedRoot {
  if (clip.frames.length === 0) return rootUnseen;
  const [found] = findSpaces(clip, rootNumbers);
  const place = found?.ellipse;
  const learned = place ? learnedRootTilt(clip, { x: place.cx, y: place.cy, radius: place.radius }) : null;
  if (!found || !place || !learned || found.sureness < 0.15) return rootUnseen;
  const best = fitAt(clip, place);
  const round = best ? overFrames(clip, spreadFrames(clip.frames, 12), best) : null;
  const seen = stretchDepth(round ?? place, rootDepthStretch, 0);
  const q = axisRatio(seen);
  const { tiltDeg } = learned;
  const apart = Math.abs(tiltOfAxisRatio(q, 0) - tiltDeg);
  const small = place.radius < 7;
  const faint = (best?.fit.edge ?? 0) < 0.3;
  const confidence = Math.min(
    mostRootConfidence,
    found.sureness *
      Math.max(0.3, Math.min(1, 1 - (learned.errorDeg - 3) / 8)) *
      (1 - Math.max(0, Math.min(0.4, (apart - 10) / 40))) *
      (best ? 1 : 0.6) *
      (small ? 0.6 : 1),
  );
  const reasons: AssessedRoot['reasons'] = [];
  if (faint) reasons.push('ROOT_RING_FAINT');
  if (small) reasons.push('ROOT_PICTURE_TOO_SMALL');
  // Where the cut leans to, it leaves the root for the outlet below it.
  if (tiltDeg > roundBelowDeg && learned.leanRight < -leanThatCounts) reasons.push('ROOT_MUSCLE_ON_LEFT');
  if (tiltDeg > roundBelowDeg && learned.leanRight > leanThatCounts) reasons.push('ROOT_MUSCLE_ON_RIGHT');
  const original: Ellipse = {
    ...place,
    cx: clip.window.x0 + place.cx * clip.scale,
    cy: clip.window.y0 + place.cy * clip.scale,
    radius: place.radius * clip.scale,
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
    solidSideFraction: best ? solidSides(clip, best.frame, best.fit) : null,
    outline: ellipsePolygon(original, 48),
    confidence,
    reasons,
  };
}

/** Part of the rays that meet thick muscle 1.3 to 1.75 radii out instead of another chamber. */
function solidSides(clip: WorkingClip, quiet: Plane, fit: WallFit): number {
  const e = fit.inner;
  const level = 0.5 * clip.brightLimit;
  let solid = 0;
  for (let ray = 0; ray < rayCount; ray += 1) {
    const dx = rayX[ray] as number;
    const dy = rayY[ray] as number;
    const r = distanceToEllipse(e, e.cx, e.cy, dx, dy);
    let sum = 0;
    for (const part of [1.35, 1.5, 1.65])
      sum += valueAt(quiet, e.cx + dx * part * r, e.cy + dy * part * r) / 3;
    if (sum > level) solid += 1;
  }
  return solid / rayCount;
}
