import type { Ellipse } from '../picture/ellipse';
import { ellipseArea } from '../picture/ellipse';
import { ellipseOfPolygon } from './dark-hull';
import type { LvTrace, TracedFrame } from './lv-trace';
import type { PlaneAssessment, PlaneOptions } from './plane-assessment';
import { assessShortAxisPlane } from './plane-assessment';

/** The ellipse of the same area and second moments as an outline (x and y in turn, pixels); null where it encloses nothing. */
export function ellipseOfOutline(outline: readonly number[]): Ellipse | null {
  const points: [number, number][] = [];
  for (let n = 0; n + 1 < outline.length; n += 2)
    points.push([outline[n] as number, outline[n + 1] as number]);
  if (points.length < 3 || points.some(([x, y]) => !Number.isFinite(x) || !Number.isFinite(y))) return null;
  return ellipseOfPolygon(points);
}

/**
 * The same numbers as of a traced outline, from outlines that a person drew or corrected: one at end diastole, one at end systole if
 * there is one.
 */
export function assessOutlines(
  endDiastole: readonly number[],
  endSystole: readonly number[] | null,
  options: PlaneOptions = {},
): PlaneAssessment {
  const large = ellipseOfOutline(endDiastole);
  const small = endSystole ? ellipseOfOutline(endSystole) : null;
  const traced = (e: Ellipse): TracedFrame => ({ ellipse: e, areaPx2: ellipseArea(e), edge: 1 });
  const frames = large
    ? [traced(large), ...(small ? [traced(small), traced(small), traced(small)] : [])]
    : null;
  const trace: LvTrace = {
    frames,
    endDiastole: large ? traced(large) : null,
    wallFactor: 0,
    bloodAreaCurve: frames ? frames.map((f) => f.areaPx2 / ellipseArea(large as Ellipse)) : [],
    contrast: 0,
    seedLead: 1,
    agreement: 1,
    largest: [],
    rightSide: null,
    brightInside: 0,
  };
  return assessShortAxisPlane(trace, {
    ...options,
    outlineByPerson: true,
    endDiastoleFrames: [0],
    endSystoleFrames: small ? [1] : [],
  });
}
