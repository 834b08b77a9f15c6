import { exactAcos } from '@chordae/units';
import type { Ellipse } from '../picture/ellipse';
import { axisRatio, ellipseAxes, stretchDepth } from '../picture/ellipse';
import type { LvTrace } from './lv-trace';

/** Ventricle's radius by half its length: 0.36 normal, 0.44 dilated; the true one instead changes the tilt by 0.2 degrees in the median. */
export const usualSlenderness = 0.36;

/** Further stretch of depth before the axis ratio is read; a trace is corrected already. */
export const usualDepthStretch = 1;

/**
 * Tilt of a plane that cuts an ellipsoid of revolution with axis ratio `q`: q² = cos²a + k² sin²a, k = radius by half length. Degrees.
 * `tiltOfAxisRatio(0.919, 0.36)` is 25.0. The cylinder rule cos a = q is k = 0.
 */
export function tiltOfAxisRatio(q: number, k: number): number {
  const square = (q * q - k * k) / (1 - k * k);
  return (exactAcos(Math.sqrt(Math.max(0, Math.min(1, square)))) * 180) / Math.PI;
}

export type PlaneVerdict = 'on-axis' | 'borderline' | 'off-axis' | 'not-round' | 'not-assessable';

export type PlaneReason =
  | 'CAVITY_NOT_FOUND'
  | 'OUTLINE_FAINT'
  | 'OTHER_CAVITY_AS_LIKELY'
  | 'SEPTUM_FLAT'
  | 'RIGHT_VENTRICLE_LARGE'
  | 'WALLS_THICK'
  | 'CAVITY_NEARLY_CLOSES'
  | 'PICTURE_TOO_SMALL'
  | 'METHODS_DISAGREE'
  | 'OUTLINE_BY_PERSON';

export interface PlaneAssessment {
  readonly axisRatio: number | null;
  readonly tiltDeg: number | null;
  /** 68 % interval, degrees; small tilts can only be bounded. */
  readonly tiltLowDeg: number | null;
  readonly tiltHighDeg: number | null;
  /** Direction of the longer diameter, degrees from the picture's right, turning down. */
  readonly longDiameterDeg: number | null;
  /** Diameter along the septum by the one across it: 1 round, larger with a flat septum. */
  readonly eccentricityDiastole: number | null;
  readonly eccentricitySystole: number | null;
  readonly fractionalAreaChange: number | null;
  readonly verdict: PlaneVerdict;
  readonly confidence: number;
  readonly reasons: readonly PlaneReason[];
}

export interface PlaneOptions {
  readonly k?: number;
  readonly depthStretch?: number;
  /** Frames of end diastole and end systole; else the largest and smallest by blood. */
  readonly endDiastoleFrames?: readonly number[];
  readonly endSystoleFrames?: readonly number[];
  /** Signs of a large right ventricle or flat septum found elsewhere. */
  readonly rightSide?: { readonly septumFlat: boolean; readonly rightVentricleLarge: boolean };
  /** A second opinion on the tilt. */
  readonly second?: { readonly tiltDeg: number; readonly sdDeg: number } | null;
  readonly outlineByPerson?: boolean;
}

const unseen: PlaneAssessment = {
  axisRatio: null,
  tiltDeg: null,
  tiltLowDeg: null,
  tiltHighDeg: null,
  longDiameterDeg: null,
  eccentricityDiastole: null,
  eccentricitySystole: null,
  fractionalAreaChange: null,
  verdict: 'not-assessable',
  confidence: 0,
  reasons: ['CAVITY_NOT_FOUND'],
};

/** Limits between on-axis, borderline and off-axis, degrees. */
export const onAxisBelowDeg = 18;
export const offAxisAboveDeg = 25;

/** How round is the short axis, what tilt would make it so, and how far that can be trusted. */
export function assessShortAxisPlane(trace: LvTrace, options: PlaneOptions = {}): PlaneAssessment {
  const { endDiastole, frames } = trace;
  if (!endDiastole || !frames || frames.length === 0) return unseen;
  const stretch = options.depthStretch ?? usualDepthStretch;
  const k = options.k ?? usualSlenderness;
  const shape = typicalShape(
    [endDiastole.ellipse, endDiastole.ellipse, ...trace.largest.map((f) => f.ellipse)].map((e) =>
      stretchDepth(e, stretch, 0),
    ),
  );
  const q = axisRatio(shape);
  const spread = spreadOf(trace, stretch);
  const sd = Math.sqrt(0.018 * 0.018 + spread * spread);
  const own = tiltOfAxisRatio(q, k);
  const second = options.second ?? null;
  const change = areaChange(trace, options);
  const smallest = smallestFrame(trace, options);
  const eccentricityDiastole = eccentricity(shape);
  const eccentricitySystole = eccentricity(
    stretchDepth((frames[smallest] ?? endDiastole).ellipse, stretch, 0),
  );
  const reasons = reasonsFor(trace, change, q, options);
  const rightSide = reasons.includes('SEPTUM_FLAT') || reasons.includes('RIGHT_VENTRICLE_LARGE');
  const tiltDeg = second ? combined(own, second, rightSide) : own;
  const difference = second === null ? 0 : Math.abs(own - second.tiltDeg);
  if (difference > 12) reasons.push('METHODS_DISAGREE');
  // An oval that the right side explains is no quarrel of the methods.
  const quarrel = Math.max(rightSide ? 0.85 : 0, agreement(difference));
  const doubt = second === null ? 1 : Math.max(0.4, Math.min(1, 1 - (second.sdDeg - 5) / 8));
  const firm = confidenceOf(trace, change, spread, reasons) * quarrel * doubt;
  // Each opinion alone fails on hearts it was not made for: sure is only what both say of the same side.
  const together = second === null || own < sideDeg === second.tiltDeg < sideDeg;
  const confidence = together || options.outlineByPerson ? firm : Math.min(0.45, firm);
  return {
    axisRatio: q,
    tiltDeg,
    tiltLowDeg: tiltOfAxisRatio(Math.min(1, q + sd), k),
    tiltHighDeg: tiltOfAxisRatio(Math.max(k, q - sd), k),
    longDiameterDeg: (ellipseAxes(shape).angleRad * 180) / Math.PI,
    eccentricityDiastole,
    eccentricitySystole,
    fractionalAreaChange: change,
    verdict: verdictOf(tiltDeg, confidence, reasons),
    confidence,
    reasons,
  };
}

/**
 * Share of the outline's own tilt in the mean of both; chosen on developing phantoms, where the learned model errs less. None where the
 * right side may be what makes the outline oval: flattening and tilt look alike in it.
 */
const ownShare = 0.15;
const sideDeg = 20;

function combined(own: number, second: { readonly tiltDeg: number }, rightSide: boolean): number {
  const share = rightSide ? 0 : ownShare;
  return share * own + (1 - share) * second.tiltDeg;
}

/** 1 while the opinions lie within 6 degrees, falling to 0.5 at 16. */
function agreement(differenceDeg: number): number {
  return 1 - Math.max(0, Math.min(0.5, (differenceDeg - 6) / 20));
}

function verdictOf(tiltDeg: number, confidence: number, reasons: readonly PlaneReason[]): PlaneVerdict {
  if (confidence < 0.2) return 'not-assessable';
  if (tiltDeg < onAxisBelowDeg) return 'on-axis';
  // Flattening and tilt look alike in the outline: no word of tilt where the right side may be the cause.
  if (reasons.includes('SEPTUM_FLAT') || reasons.includes('RIGHT_VENTRICLE_LARGE')) return 'not-round';
  if (tiltDeg <= offAxisAboveDeg) return 'borderline';
  // Oval, but on a weak outline: that it is not round is all that can be said.
  return confidence < 0.35 ? 'not-round' : 'off-axis';
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

function typicalShape(list: readonly Ellipse[]): Ellipse {
  const first = list[0] as Ellipse;
  return { ...first, u: median(list.map((e) => e.u)), v: median(list.map((e) => e.v)) };
}

/** Standard deviation of the axis ratio over the frames near the largest area; 0.04 where there are too few. */
function spreadOf(trace: LvTrace, stretch: number): number {
  const ratios = trace.largest.map((f) => axisRatio(stretchDepth(f.ellipse, stretch, 0)));
  if (ratios.length < 3) return 0.04;
  const mean = ratios.reduce((a, b) => a + b, 0) / ratios.length;
  const squares = ratios.reduce((a, b) => a + (b - mean) * (b - mean), 0);
  return Math.sqrt(squares / (ratios.length - 1));
}

/** Width by depth of the ellipse: the septum lies across the beam in a right parasternal short axis. */
function eccentricity(e: Ellipse): number {
  const h = Math.sqrt(1 + e.u * e.u + e.v * e.v);
  return Math.sqrt((h + e.u) / (h - e.u));
}

function smallestFrame(trace: LvTrace, options: PlaneOptions): number {
  const given = options.endSystoleFrames?.[0];
  if (given !== undefined) return given;
  const curve = trace.bloodAreaCurve;
  return curve.reduce((best, v, n) => (v < (curve[best] as number) ? n : best), 0);
}

/** (largest − smallest) by largest area of the outlines; medians over the beats where their moments are known. */
function areaChange(trace: LvTrace, options: PlaneOptions): number | null {
  const areas = trace.frames?.map((f) => f.areaPx2) ?? [];
  if (areas.length < 4) return null;
  const at = (list: readonly number[] | undefined, otherwise: number): number => {
    const known = (list ?? []).map((n) => areas[n]).filter((v) => v !== undefined);
    return known.length > 0 ? median(known) : otherwise;
  };
  const large = at(options.endDiastoleFrames, Math.max(...areas));
  const small = at(options.endSystoleFrames, areas[smallestFrame(trace, options)] as number);
  return large > 0 ? Math.max(0, (large - small) / large) : null;
}

function reasonsFor(trace: LvTrace, change: number | null, q: number, options: PlaneOptions): PlaneReason[] {
  const reasons: PlaneReason[] = [];
  const ed = trace.endDiastole;
  if (options.outlineByPerson) reasons.push('OUTLINE_BY_PERSON');
  else {
    if ((ed?.edge ?? 0) < 0.28) reasons.push('OUTLINE_FAINT');
    if (trace.seedLead < 0.08 || trace.brightInside > 0.16) reasons.push('OTHER_CAVITY_AS_LIKELY');
    if (trace.wallFactor > 2.05) reasons.push('WALLS_THICK');
    if (change !== null && change > 0.72) reasons.push('CAVITY_NEARLY_CLOSES');
    if (ed && ed.ellipse.radius < 6) reasons.push('PICTURE_TOO_SMALL');
  }
  if (options.rightSide?.septumFlat && q < 0.97) reasons.push('SEPTUM_FLAT');
  if (options.rightSide?.rightVentricleLarge) reasons.push('RIGHT_VENTRICLE_LARGE');
  return reasons;
}

/** 0 to 1: how firmly the outline stands, less for each known weakness. */
function confidenceOf(
  trace: LvTrace,
  change: number | null,
  spread: number,
  reasons: readonly PlaneReason[],
): number {
  if (reasons.includes('OUTLINE_BY_PERSON')) return 0.9;
  const edge = Math.max(0, Math.min(1, ((trace.endDiastole?.edge ?? 0) - 0.15) / 0.35));
  const lead = Math.max(0.15, Math.min(1, trace.seedLead / 0.25));
  const steady = 1 / (1 + (spread / 0.05) * (spread / 0.05));
  let confidence = edge * trace.agreement * (0.35 + 0.65 * lead) * (0.4 + 0.6 * steady);
  if (change === null) confidence *= 0.8;
  if (reasons.includes('WALLS_THICK')) confidence *= 0.8;
  if (reasons.includes('OTHER_CAVITY_AS_LIKELY')) confidence *= 0.6;
  if (trace.brightInside > 0.16) confidence *= 0.5;
  if (reasons.includes('CAVITY_NEARLY_CLOSES')) confidence *= 0.8;
  if (reasons.includes('RIGHT_VENTRICLE_LARGE') || reasons.includes('SEPTUM_FLAT')) confidence *= 0.7;
  if (reasons.includes('PICTURE_TOO_SMALL')) confidence *= 0.5;
  return Math.max(0, Math.min(1, confidence));
}
