/**
 * What can be seen in the pictures themselves: frames of luma in, numbers with units, confidence and reasons out.
 *
 * Terms: the *sector* is the scanned part of the screen; a *working clip* is the sector at the size that is computed on; a *trace* is
 * the left ventricle's outline over the frames; *tilt* is the angle between the cut and one square to the ventricle's long axis.
 * Everything was developed on computed clips: a hint, until a clinic has confirmed it on its own.
 */

export { assessAorticRoot } from './aortic-root/assess-root';
export type { AssessOptions } from './assess/assess-clip';
export { assessClip, mostFrames } from './assess/assess-clip';
export { imagingEngine } from './assess/engine';
export type { CycleInput, HeartCycle } from './cycle/heart-cycle';
export { estimateHeartCycle } from './cycle/heart-cycle';
export type { GrayFrame } from './gray-frame';
export * from './learned';
export type { Ellipse } from './picture/ellipse';
export { axisRatio, ellipseArea, ellipseAxes, ellipseFrom, ellipsePolygon } from './picture/ellipse';
export type { WorkingClip } from './picture/working';
export { makeWorkingClip } from './picture/working';
export { gainLimits, greyLevels, markCineQuality } from './quality/quality-marks';
export type { DepthRuler, UnitCandidate } from './ruler/find-ruler';
export { expectedDepthCm, findDepthRuler } from './ruler/find-ruler';
export { detectSectorGeometry } from './sector/detect-sector';
export { fanOutline } from './sector/fan-outline';
export { maskOutsideSector } from './sector/mask-frame';
export { proposeFan } from './sector/propose-fan';
export type { SectorGeometry, SectorReason } from './sector/sector-geometry';
export { sectorMask } from './sector/sector-geometry';
export { findStillText } from './sector/still-text';
export { assessOutlines, ellipseOfOutline } from './short-axis/from-outline';
export type { LvTrace, TracedFrame } from './short-axis/lv-trace';
export type { PlaneAssessment, PlaneOptions } from './short-axis/plane-assessment';
export { assessShortAxisPlane, tiltOfAxisRatio } from './short-axis/plane-assessment';
export { traceLvShortAxis, traceWorkingClip } from './short-axis/trace';
