import type { GrayFrame } from '../gray-frame';
import type { FoundCavity } from '../learned/finder/cavity-finder';
import { findCavity } from '../learned/finder/cavity-finder';
import type { Ellipse } from '../picture/ellipse';
import { ellipseArea, stretchDepth } from '../picture/ellipse';
import type { Plane } from '../picture/plane';
import { centile, meanPlane } from '../picture/plane';
import type { WorkingClip } from '../picture/working';
import { makeWorkingClip } from '../picture/working';
import type { SectorGeometry } from '../sector/sector-geometry';
import { brightBandInside } from './bright-band';
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
  /** How far the learned finder, the search by darkness and the fit speak of one cavity, 0 to 1. */
  readonly agreement: number;
  /** Ellipses at the frames where the cavity is nearly at its largest, original pixels. */
  readonly largest: readonly TracedFrame[];
  readonly rightSide: RightSide | null;
  /** Share of the outline's half towards the probe that is as bright as wall: a septum, if the outline holds both ventricles. */
  readonly brightInside: number;
}

const nothing: LvTrace = {
  frames: null,
  endDiastole: null,
  wallFactor: 0,
  bloodAreaCurve: [],
  contrast: 0,
  seedLead: 0,
  agreement: 0,
  largest: [],
  rightSide: null,
  brightInside: 0,
};

interface Candidate {
  readonly seed: Seed;
  readonly fit: WallFit;
  readonly value: number;
  readonly curve: Float64Array;
  readonly contrast: number;
  readonly band: number;
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
function guided(clip: WorkingClip, found: Ellipse): Candidate | null {
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
  if (given) {
    const seed: Seed = {
      x: (given.xPx - clip.window.x0) / clip.scale,
      y: (given.yPx - clip.window.y0) / clip.scale,
      radius: given.radiusPx / clip.scale,
      score: 1,
    };
    const fit = tryed(clip, seed);
    return fit ? followed(clip, fit, { seedLead: 1, agreement: 1 }) : nothing;
  }
  const classical = findSeeds(clip, 4)
    .map((seed) => tryed(clip, seed))
    .filter((c) => c !== null)
    .sort((a, b) => b.value - a.value);
  const own = classical[0] ?? null;
  const rival = own && classical.find((c) => !sameCavity(c.fit.inner, own.fit.inner));
  const lead = own && rival ? Math.max(0, Math.min(1, 1 - rival.value / own.value)) : 1;
  const found = findCavity(clip);
  const seen = found ? asDrawn(found.diastole.ellipse) : null;
  const learned = seen ? guided(clip, seen) : null;
  // Without the finder's word the search by darkness stands alone, and is worth less.
  if (!found || !seen || !learned)
    return own ? followed(clip, own, { seedLead: lead, agreement: 0.4 }) : nothing;
  const apart = distanceOf(learned.fit.inner, seen);
  const share = Math.max(0, Math.min(0.5, 2 * (0.45 - apart)));
  const best = withOutline(clip, learned, between(seen, learned.fit.inner, share));
  const together = own !== null && sameCavity(own.fit.inner, best.fit.inner);
  const agreement =
    found.diastole.sureness * (1 - Math.max(0, Math.min(0.5, apart - 0.2))) * (together ? 1 : 0.65);
  return followed(
    clip,
    best,
    { seedLead: together ? Math.max(0.25, lead) : 0.12, agreement },
    endSystole(found),
  );
}

/** The cavity at its smallest, where the finder sees it within the large one. */
function endSystole({ diastole, systole }: FoundCavity): Ellipse | null {
  if (!systole || systole.sureness < 0.5) return null;
  const [a, b] = [diastole.ellipse, systole.ellipse];
  const [dx, dy] = [a.cx - b.cx, a.cy - b.cy];
  const off = Math.sqrt(dx * dx + dy * dy) / a.radius;
  return off < 0.4 && b.radius < 1.02 * a.radius && b.radius > 0.2 * a.radius ? asDrawn(b) : null;
}

/** How far two outlines of one cavity lie apart: middles, sizes and shapes, parts of the radius. */
function distanceOf(a: Ellipse, b: Ellipse): number {
  const [dx, dy, du, dv] = [a.cx - b.cx, a.cy - b.cy, a.u - b.u, a.v - b.v];
  return (
    Math.sqrt(dx * dx + dy * dy) / b.radius + Math.abs(a.radius / b.radius - 1) + Math.sqrt(du * du + dv * dv)
  );
}

/** `share` of the way from one outline to another. */
function between(a: Ellipse, b: Ellipse, share: number): Ellipse {
  const mix = (p: number, q: number): number => p + share * (q - p);
  return {
    cx: mix(a.cx, b.cx),
    cy: mix(a.cy, b.cy),
    radius: mix(a.radius, b.radius),
    u: mix(a.u, b.u),
    v: mix(a.v, b.v),
  };
}

/** The candidate with another outline of the same cavity. */
function withOutline(clip: WorkingClip, c: Candidate, inner: Ellipse): Candidate {
  const outer = Math.max(1.22, (c.fit.outer * c.fit.inner.radius) / inner.radius);
  return { ...c, fit: { ...c.fit, inner, outer }, curve: darkAreaCurve(clip, inner, 1.12) };
}

function sameCavity(a: Ellipse, b: Ellipse): boolean {
  const d = Math.sqrt((a.cx - b.cx) * (a.cx - b.cx) + (a.cy - b.cy) * (a.cy - b.cy));
  return d < 0.4 * Math.max(a.radius, b.radius) && a.radius < 1.5 * b.radius && b.radius < 1.5 * a.radius;
}

function followed(
  clip: WorkingClip,
  best: Candidate,
  trust: Pick<LvTrace, 'seedLead' | 'agreement'>,
  smallest: Ellipse | null = null,
): LvTrace {
  const ed = best.fit.inner;
  const curve = smoothCurve(best.curve);
  const top = centile(curve, 0.97);
  const bloodAreaCurve = Array.from(curve, (v) => Math.max(0, Math.min(1.2, v / Math.max(1e-6, top))));
  const image = largestImage(clip, best.curve);
  const grey = samplePolar(image, ed.cx, ed.cy, 2 * ed.radius, clip.brightLimit);
  const levels = polarLevels(grey, grey.length / 48, ed.radius);
  const low = centile(curve, 0.03) / Math.max(1e-6, top);
  const fits = clip.frames.map((plane, n) => {
    const blood = bloodAreaCurve[n] as number;
    // Blood seen in the frame says how large to begin; muscle inside the cavity makes it fall faster than the area.
    const plain = Math.sqrt(Math.max(0.08, Math.min(1.1, 0.15 + 0.85 * blood)));
    const filled = Math.max(0, Math.min(1.05, (blood - low) / Math.max(0.05, 1 - low)));
    const start: Ellipse = smallest ? between(smallest, ed, filled) : { ...ed, radius: ed.radius * plain };
    const part = start.radius / ed.radius;
    const map = makePolarMap(plane, start.cx, start.cy, start.radius, clip.brightLimit, levels);
    const fit = fitOutline(
      map,
      start,
      Math.max(1.3, best.fit.outer / part),
      {
        minRadius: (smallest ? 0.84 : 0.72) * start.radius,
        maxRadius: Math.min(1.08 * ed.radius, (smallest ? 1.16 : 1.3) * start.radius),
        x: start.cx,
        y: start.cy,
        roam: (smallest ? 0.2 : 0.35) * ed.radius,
        minAxisRatio: 0.6,
      },
      0.13 * clip.height,
    );
    if (!fit) return { inner: start, outer: best.fit.outer, score: 0, edge: 0, rim: 0 };
    return smallest ? { ...fit, inner: between(start, fit.inner, 0.5) } : fit;
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
    ...trust,
    largest,
    rightSide: lookAtRightSide(clip, image, ed, levels),
    brightInside: best.band,
  };
}

/**
 * Echoes are thicker than the walls that send them, most along the beam: a dark disc is drawn small, its depth still more. Both factors
 * were chosen on the developing phantoms; to be fitted again on real clips.
 */
const bloomDepth = 1.04;
const bloomAll = 1.03;

/** The finder knows true outlines; the fit sees them as echoes draw them. */
function asDrawn(e: Ellipse): Ellipse {
  return stretchDepth({ ...e, radius: e.radius / bloomAll }, 1 / bloomDepth, e.cy);
}

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
