import type { Ellipse } from '../picture/ellipse';
import type { Plane } from '../picture/plane';
import { meanPlane } from '../picture/plane';
import type { WorkingClip } from '../picture/working';
import { brightBandInside } from './bright-band';
import { darkAreaCurve } from './dark-area';
import { darkHull } from './dark-hull';
import type { FitLimits, WallFit } from './fit-outline';
import { fitOutline } from './fit-outline';
import { makePolarMap, polarLevels, samplePolar } from './polar-map';
import type { Seed } from './seeds';

/** One place that may be the cavity, with its outline where it is largest. */
export interface Candidate {
  readonly seed: Seed;
  readonly fit: WallFit;
  readonly value: number;
  readonly curve: Float64Array;
  readonly contrast: number;
  readonly band: number;
}

/** Fits one place on the mean of the frames in which most of it is dark. */
export function fitAtSeed(clip: WorkingClip, seed: Seed): Candidate | null {
  const rough: Ellipse = { cx: seed.x, cy: seed.y, radius: seed.radius, u: 0, v: 0 };
  const image = largestImage(clip, darkAreaCurve(clip, rough, 1.4));
  const grey = samplePolar(image, seed.x, seed.y, 1.7 * seed.radius, clip.brightLimit);
  const levels = polarLevels(grey, grey.length / 48, seed.radius);
  const level = levels.blood + 0.45 * (levels.wall - levels.blood);
  const hull = darkHull(image, clip.mask, seed, level, 2.3 * seed.radius);
  // A seed may sit in the dark cap over the papillary muscles: larger discs below it are tried too.
  const lowered = (down: number, factor: number): Ellipse => ({
    ...rough,
    cy: seed.y + down * seed.radius,
    radius: factor * seed.radius,
  });
  const starts = [rough, lowered(0.35, 1.4), lowered(0.85, 1.9)];
  if (hull && hull.radius > 0.5 * seed.radius && hull.radius < 2.2 * seed.radius) starts.unshift(hull);
  const reference = 0.13 * clip.height;
  let best: WallFit | null = null;
  for (const start of starts)
    for (const outer of [1.4, 2]) {
      const map = makePolarMap(image, start.cx, start.cy, start.radius, clip.brightLimit);
      const fit = fitOutline(map, start, outer, limitsFor(clip, start), reference);
      if (fit && (!best || fit.score > best.score)) best = fit;
    }
  if (!best) return null;
  // Again about the middle that was found: rays from near the middle judge better.
  const map = makePolarMap(image, best.inner.cx, best.inner.cy, best.inner.radius, clip.brightLimit);
  const again = fitOutline(map, best.inner, best.outer, limitsFor(clip, best.inner), reference) ?? best;
  const curve = darkAreaCurve(clip, again.inner, 1.12);
  const ordered = Float64Array.from(curve).sort();
  const swing = 1 - (ordered[0] as number) / Math.max(1e-6, ordered[ordered.length - 1] as number);
  const size = again.inner.radius / (0.15 * clip.height);
  const sizePrior = 1 / (1 + 0.15 * (size + 1 / size - 2));
  // No ventricle has walls of less than a fifth of its radius; a dark space between two linings has.
  const thinWall = Math.min(1, 0.55 + 3 * Math.max(0, again.outer - 1.2));
  const band = brightBandInside(map, again.inner);
  const value =
    again.score *
    Math.max(0.25, 1 - 2.2 * Math.max(0, band - 0.1)) *
    Math.min(1, map.contrast / (0.45 * clip.brightLimit)) *
    (0.6 + 0.4 * Math.min(1, swing / 0.4)) *
    sizePrior *
    thinWall;
  return { seed, fit: again, value, curve, contrast: map.contrast, band };
}

/** The same about the place that the learned finder sees: the fit may refine it, not leave it. */
export function fitAtFinder(clip: WorkingClip, found: Ellipse): Candidate | null {
  const image = largestImage(clip, darkAreaCurve(clip, found, 1.12));
  const reference = 0.13 * clip.height;
  const map = makePolarMap(image, found.cx, found.cy, found.radius, clip.brightLimit);
  const limits: FitLimits = {
    minRadius: 0.85 * found.radius,
    maxRadius: 1.15 * found.radius,
    x: found.cx,
    y: found.cy,
    roam: 0.2 * found.radius,
    minAxisRatio: 0.6,
  };
  let best: WallFit | null = null;
  for (const outer of [1.4, 2]) {
    const fit = fitOutline(map, found, outer, limits, reference);
    if (fit && (!best || fit.score > best.score)) best = fit;
  }
  if (!best) return null;
  return {
    seed: { x: found.cx, y: found.cy, radius: found.radius, score: 1 },
    fit: best,
    value: best.score,
    curve: darkAreaCurve(clip, best.inner, 1.12),
    contrast: map.contrast,
    band: brightBandInside(map, best.inner),
  };
}

/** The candidate with another outline of the same cavity. */
export function withOutline(clip: WorkingClip, c: Candidate, inner: Ellipse): Candidate {
  const outer = Math.max(1.22, (c.fit.outer * c.fit.inner.radius) / inner.radius);
  return { ...c, fit: { ...c.fit, inner, outer }, curve: darkAreaCurve(clip, inner, 1.12) };
}

/** true when two outlines mean one cavity. */
export function sameCavity(a: Ellipse, b: Ellipse): boolean {
  const d = Math.sqrt((a.cx - b.cx) * (a.cx - b.cx) + (a.cy - b.cy) * (a.cy - b.cy));
  return d < 0.4 * Math.max(a.radius, b.radius) && a.radius < 1.5 * b.radius && b.radius < 1.5 * a.radius;
}

function limitsFor(clip: WorkingClip, about: Ellipse): FitLimits {
  return {
    minRadius: 0.035 * clip.height,
    maxRadius: 0.4 * clip.height,
    x: about.cx,
    y: about.cy,
    roam: 0.8 * about.radius,
    minAxisRatio: 0.64,
  };
}

/** Mean of the (at most four) frames with most dark. */
export function largestImage(clip: WorkingClip, curve: ArrayLike<number>): Plane {
  const order = Array.from(curve, (value, n) => ({ value, n })).sort(
    (a, b) => b.value - a.value || a.n - b.n,
  );
  const count = Math.max(1, Math.min(4, Math.round(0.12 * order.length)));
  return meanPlane(order.slice(0, count).map(({ n }) => clip.frames[n] as Plane));
}
