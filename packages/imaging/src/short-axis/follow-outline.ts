import type { Ellipse } from '../picture/ellipse';
import { ellipseArea, stretchDepth } from '../picture/ellipse';
import { centile } from '../picture/plane';
import type { WorkingClip } from '../picture/working';
import type { Candidate } from './candidates';
import { largestImage } from './candidates';
import type { WallFit } from './fit-outline';
import { fitOutline } from './fit-outline';
import type { LvTrace, TracedFrame } from './lv-trace';
import { makePolarMap, polarLevels, samplePolar } from './polar-map';
import { lookAtRightSide } from './right-side';
import { smoothCurve } from './smooth-curve';

/** The outline of the cavity in every frame, from the one where it is largest and, where it is known, the smallest. */
export function followed(
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

/** `share` of the way from one outline to another. */
export function between(a: Ellipse, b: Ellipse, share: number): Ellipse {
  const mix = (p: number, q: number): number => p + share * (q - p);
  return {
    cx: mix(a.cx, b.cx),
    cy: mix(a.cy, b.cy),
    radius: mix(a.radius, b.radius),
    u: mix(a.u, b.u),
    v: mix(a.v, b.v),
  };
}

/**
 * Echoes are thicker than the walls that send them, most along the beam: a dark disc is drawn small, its depth still more. Both factors
 * were chosen on the developing phantoms; to be fitted again on real clips.
 */
const bloomDepth = 1.04;
const bloomAll = 1.03;

/** The finder knows true outlines; the fit sees them as echoes draw them. */
export function asDrawn(e: Ellipse): Ellipse {
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
