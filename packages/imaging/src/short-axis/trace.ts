import type { GrayFrame } from '../gray-frame';
import type { FoundCavity } from '../learned/finder/cavity-finder';
import { findCavity } from '../learned/finder/cavity-finder';
import type { Ellipse } from '../picture/ellipse';
import type { WorkingClip } from '../picture/working';
import { makeWorkingClip } from '../picture/working';
import type { SectorGeometry } from '../sector/sector-geometry';
import { fitAtFinder, fitAtSeed, sameCavity, withOutline } from './candidates';
import { asDrawn, between, followed } from './follow-outline';
import type { LvTrace } from './lv-trace';
import { noTrace } from './lv-trace';
import type { Seed } from './seeds';
import { findSeeds } from './seeds';

/** Finds the left ventricle's cavity in a short axis and follows it over the clip. */
export function traceLvShortAxis(
  frames: readonly GrayFrame[],
  sector: SectorGeometry,
  options: { readonly seed?: { readonly xPx: number; readonly yPx: number; readonly radiusPx: number } } = {},
): LvTrace {
  if (frames.length === 0) return noTrace;
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
    const fit = fitAtSeed(clip, seed);
    return fit ? followed(clip, fit, { seedLead: 1, agreement: 1 }) : noTrace;
  }
  const classical = findSeeds(clip, 4)
    .map((seed) => fitAtSeed(clip, seed))
    .filter((c) => c !== null)
    .sort((a, b) => b.value - a.value);
  const own = classical[0] ?? null;
  const rival = own && classical.find((c) => !sameCavity(c.fit.inner, own.fit.inner));
  const lead = own && rival ? Math.max(0, Math.min(1, 1 - rival.value / own.value)) : 1;
  const found = findCavity(clip);
  const seen = found ? asDrawn(found.diastole.ellipse) : null;
  const learned = seen ? fitAtFinder(clip, seen) : null;
  // Without the finder's word the search by darkness stands alone, and is worth less.
  if (!found || !seen || !learned)
    return own ? followed(clip, own, { seedLead: lead, agreement: 0.4 }) : noTrace;
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
