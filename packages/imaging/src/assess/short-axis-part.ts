import type { AssessedShortAxis } from '@chordae/contract';
import type { HeartCycle } from '../cycle/heart-cycle';
import type { GrayFrame } from '../gray-frame';
import { learnedShortAxisTilt } from '../learned/short-axis-tilt';
import { weightsBase64 } from '../learned/short-axis-weights';
import { ellipseAxes, ellipsePolygon } from '../picture/ellipse';
import type { LvTrace } from '../short-axis/lv-trace';
import { assessShortAxisPlane } from '../short-axis/plane-assessment';

/** Points of an outline as it is drawn. */
const outlinePoints = 32;

const finite = (value: number): number => (Number.isFinite(value) ? value : 0);

/** Roundness and tilt, with the learned model as a second opinion where the cavity was found. */
export function shortAxisPart(
  frames: readonly GrayFrame[],
  trace: LvTrace,
  cycle: HeartCycle,
): AssessedShortAxis {
  const curve = trace.bloodAreaCurve;
  const diastole = momentFrame(cycle.endDiastoleFrames, curve, 1);
  const systole = momentFrame(cycle.endSystoleFrames, curve, -1);
  const learned = secondOpinion(frames, trace, diastole, systole);
  const own = trace.rightSide;
  const plane = assessShortAxisPlane(trace, {
    endDiastoleFrames: cycle.endDiastoleFrames,
    endSystoleFrames: cycle.endSystoleFrames,
    second: learned ? { tiltDeg: learned.tiltDeg, sdDeg: learned.errorDeg } : null,
    rightSide: {
      septumFlat: own?.septumFlat === true || (learned?.septumFlat ?? 0) > 0.15,
      rightVentricleLarge: own?.rightVentricleLarge === true || (learned?.rightToLeft ?? 0) > 0.5,
    },
  });
  const ed = trace.endDiastole?.ellipse;
  const axes = ed ? ellipseAxes(ed) : null;
  return {
    ...plane,
    reasons: [...plane.reasons],
    bloodAreaCurve: curve.map(finite),
    outlines: trace.frames?.map((f) => ellipsePolygon(f.ellipse, outlinePoints)) ?? [],
    areasPx2: trace.frames?.map((f) => f.areaPx2) ?? [],
    endDiastole:
      ed && axes
        ? {
            centreXPx: ed.cx,
            centreYPx: ed.cy,
            majorRadiusPx: axes.major,
            minorRadiusPx: axes.minor,
            angleDeg: (axes.angleRad * 180) / Math.PI,
          }
        : null,
  };
}

/** A known moment's frame, else the curve's largest (1) or smallest (−1). */
function momentFrame(known: readonly number[], curve: readonly number[], sign: 1 | -1): number {
  const given = known[0];
  if (given !== undefined) return given;
  let best = 0;
  curve.forEach((v, n) => {
    if (sign * v > sign * (curve[best] as number)) best = n;
  });
  return best;
}

function secondOpinion(
  frames: readonly GrayFrame[],
  trace: LvTrace,
  diastole: number,
  systole: number,
): ReturnType<typeof learnedShortAxisTilt> {
  const ed = trace.endDiastole?.ellipse;
  const a = frames[diastole];
  const b = frames[systole];
  // Before a model has been trained there is no second opinion.
  if (weightsBase64.length === 0 || !ed || !a || !b || frames.length < 2) return null;
  return learnedShortAxisTilt(a, b, { x: ed.cx, y: ed.cy, radiusPx: ed.radius });
}
