import type { GrayFrame } from '../gray-frame';
import type { Ellipse } from '../picture/ellipse';
import { ellipseArea, stretchDepth } from '../picture/ellipse';
import type { Plane } from '../picture/plane';
import { centile, meanPlane } from '../picture/plane';
import type { WorkingClip } from '../picture/working';
import { makeWorkingClip } from '../picture/working';
import type { SectorGeometry } from '../sector/sector-geometry';
import { darkAreaCurve } from './dark-area';
import { darkHull } from './dark-hull';
import type { FitLimits, WallFit } from './fit-outline';
import { fitOutline } from './fit-outline';
import { makePolarMap, polarLevels, samplePolar } from './polar-map';
import type { RightSide } from './right-side';
import { lookAtRightSide } from './right-side';
import type { Seed } from './seeds';
import { findSeeds } from './seeds';
import { smoothCurve } from './smooth-curve';

/** The cavity in one frame, original pixels. */
export interface TracedFrame {
  readonly ellipse: Ellipse;
  readonly areaPx2: number;
  /** Mean step from blood to wall along the outline, 0 to 1. */
  readonly edge: number;
}

export interface LvTrace {
  /** One for each frame; null as a whole where no cavity was found. */
  readonly frames: readonly TracedFrame[] | null;
  /** Cavity at its largest, original pixels. */
  readonly endDiastole: TracedFrame | null;
  /** Outer border of the wall as a multiple of the cavity's size at end diastole. */
  readonly wallFactor: number;
  /** Area by counting dark pixels, as part of the largest: goes on falling while a cavity closes. One for each frame. */
  readonly bloodAreaCurve: readonly number[];
  /** Step between blood and wall in grey levels. */
  readonly contrast: number;
  /** How far the best place stands out from the next, 0 to 1. */
  readonly seedLead: number;
  /** Ellipses at the frames where the cavity is nearly at its largest, original pixels. */
  readonly largest: readonly TracedFrame[];
  readonly rightSide: RightSide | null;
}

const nothing: LvTrace = {
  frames: null,
  endDiastole: null,
  wallFactor: 0,
  bloodAreaCurve: [],
  contrast: 0,
  seedLead: 0,
  largest: [],
  rightSide: null,
};

interface Candidate {
  readonly seed: Seed;
  readonly fit: WallFit;
  readonly value: number;
  readonly curve: Float64Array;
  readonly contrast: number;
}

/** Fits one place on the mean of the frames in which most of it is dark. */
function tryed(clip: WorkingClip, seed: Seed): Candidate | null {
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
  const value =
    again.score *
    Math.min(1, map.contrast / (0.45 * clip.brightLimit)) *
    (0.6 + 0.4 * Math.min(1, swing / 0.4)) *
    sizePrior *
    thinWall;
  return { seed, fit: again, value, curve, contrast: map.contrast };
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
function largestImage(clip: WorkingClip, curve: ArrayLike<number>): Plane {
  const order = Array.from(curve, (value, n) => ({ value, n })).sort(
    (a, b) => b.value - a.value || a.n - b.n,
  );
  const count = Math.max(1, Math.min(4, Math.round(0.12 * order.length)));
  return meanPlane(order.slice(0, count).map(({ n }) => clip.frames[n] as Plane));
}

/** Finds the left ventricle's cavity in a short axis and follows it over the clip. */
export function traceLvShortAxis(
  frames: readonly GrayFrame[],
  sector: SectorGeometry,
  options: { readonly seed?: { readonly xPx: number; readonly yPx: number; readonly radiusPx: number } } = {},
): LvTrace {
  if (frames.length === 0) return nothing;
  return traceWorkingClip(makeWorkingClip(frames, sector), options);
}

/** The same on a clip at working size. */
export function traceWorkingClip(
  clip: WorkingClip,
  options: { readonly seed?: { readonly xPx: number; readonly yPx: number; readonly radiusPx: number } } = {},
): LvTrace {
  const given = options.seed;
  const seeds: Seed[] = given
    ? [
        {
          x: (given.xPx - clip.window.x0) / clip.scale,
          y: (given.yPx - clip.window.y0) / clip.scale,
          radius: given.radiusPx / clip.scale,
          score: 1,
        },
      ]
    : findSeeds(clip, 5);
  const candidates = seeds
    .map((seed) => tryed(clip, seed))
    .filter((c) => c !== null)
    .sort((a, b) => b.value - a.value);
  const best = candidates[0];
  if (!best) return nothing;
  const rival = candidates.find((c) => !sameCavity(c.fit.inner, best.fit.inner));
  const seedLead = rival ? Math.max(0, Math.min(1, 1 - rival.value / best.value)) : 1;
  return followed(clip, best, seedLead);
}

function sameCavity(a: Ellipse, b: Ellipse): boolean {
  const d = Math.sqrt((a.cx - b.cx) * (a.cx - b.cx) + (a.cy - b.cy) * (a.cy - b.cy));
  return d < 0.4 * Math.max(a.radius, b.radius) && a.radius < 1.5 * b.radius && b.radius < 1.5 * a.radius;
}

function followed(clip: WorkingClip, best: Candidate, seedLead: number): LvTrace {
  const ed = best.fit.inner;
  const curve = smoothCurve(best.curve);
  const top = centile(curve, 0.97);
  const bloodAreaCurve = Array.from(curve, (v) => Math.max(0, Math.min(1.2, v / Math.max(1e-6, top))));
  const image = largestImage(clip, best.curve);
  const grey = samplePolar(image, ed.cx, ed.cy, 2 * ed.radius, clip.brightLimit);
  const levels = polarLevels(grey, grey.length / 48, ed.radius);
  const fits = clip.frames.map((plane, n) => {
    // Blood seen in the frame says how large to begin; muscle inside the cavity makes it fall faster than the area.
    const part = Math.sqrt(Math.max(0.08, Math.min(1.1, 0.15 + 0.85 * (bloodAreaCurve[n] as number))));
    const start: Ellipse = { ...ed, radius: ed.radius * part };
    const map = makePolarMap(plane, ed.cx, ed.cy, start.radius, clip.brightLimit, levels);
    const fit = fitOutline(
      map,
      start,
      Math.max(1.3, best.fit.outer / part),
      {
        minRadius: 0.72 * start.radius,
        maxRadius: Math.min(1.08 * ed.radius, 1.3 * start.radius),
        x: ed.cx,
        y: ed.cy,
        roam: 0.35 * ed.radius,
        minAxisRatio: 0.6,
      },
      0.13 * clip.height,
    );
    return fit ?? { inner: start, outer: best.fit.outer, score: 0, edge: 0, rim: 0 };
  });
  const traced = fits.map((fit) => toOriginal(clip, fit));
  const endDiastole = toOriginal(clip, best.fit);
  const bestEdge = Math.max(...traced.map((t) => t.edge));
  const largest = traced.filter(
    (t, n) =>
      (bloodAreaCurve[n] as number) > 0.85 &&
      Math.abs(t.areaPx2 / endDiastole.areaPx2 - 1) < 0.15 &&
      t.edge >= 0.8 * bestEdge,
  );
  return {
    frames: traced,
    endDiastole,
    wallFactor: best.fit.outer,
    bloodAreaCurve,
    contrast: best.contrast,
    seedLead,
    largest,
    rightSide: lookAtRightSide(clip, image, ed, levels),
  };
}

/**
 * Echoes are thicker than the walls that send them, most along the beam: a dark disc is drawn small, its depth still more. Both factors
 * were chosen on the developing phantoms; to be fitted again on real clips.
 */
const bloomDepth = 1.04;
const bloomAll = 1.03;

function toOriginal(clip: WorkingClip, fit: WallFit): TracedFrame {
  const wide = stretchDepth(fit.inner, bloomDepth, fit.inner.cy);
  const ellipse: Ellipse = {
    ...wide,
    cx: clip.window.x0 + wide.cx * clip.scale,
    cy: clip.window.y0 + wide.cy * clip.scale,
    radius: wide.radius * bloomAll * clip.scale,
  };
  return { ellipse, areaPx2: ellipseArea(ellipse), edge: Math.max(0, fit.edge) };
}
