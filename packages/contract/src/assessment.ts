import { z } from 'zod';
import { fanProposal } from './fan-proposal';
import { viewId } from './terms';

/**
 * What the computer saw in the pictures of one clip. Every part carries a confidence from 0 to 1 and reason codes; nothing here is a
 * measurement until a person takes it over, and no flag, urgency or completeness is lowered by it.
 */

const confidence = z.number().min(0).max(1);
const frameNumber = z.int().min(0);

/** A rectangle in pixels of the original, continuous: pixel n covers n to n + 1. */
const pixelBox = z.object({ x0: z.number(), y0: z.number(), x1: z.number(), y1: z.number() });

export const sectorReason = z.enum([
  'SECTOR_NO_PICTURE',
  'SECTOR_NOT_FOUND',
  'SECTOR_BORDER_FAINT',
  'SECTOR_CLIPPED',
  'SECTOR_SINGLE_FRAME',
  'SECTOR_SPLIT_SCREEN',
]);

export const assessedSector = z.object({
  shape: z.enum(['fan', 'fan-flat-top', 'box', 'none']),
  widthPx: z.int(),
  heightPx: z.int(),
  apexXPx: z.number(),
  apexYPx: z.number(),
  /** From straight down, positive to the right. */
  leftAngleRad: z.number(),
  rightAngleRad: z.number(),
  innerRadiusPx: z.number(),
  outerRadiusPx: z.number(),
  box: pixelBox,
  /** Part of the sector outside the picture. */
  clippedFraction: z.number().min(0).max(1),
  otherPanels: z.array(pixelBox),
  /** Places inside the sector where text seems to stand: a person looks before anything leaves. */
  stillText: z.array(pixelBox),
  confidence,
  reasons: z.array(sectorReason),
});

export const rulerReason = z.enum([
  'RULER_NOT_FOUND',
  'RULER_FEW_TICKS',
  'RULER_SLANTED',
  'RULER_UNIT_UNSURE',
  'RULER_UNIT_TO_CONFIRM',
]);

export const assessedRuler = z.object({
  found: z.boolean(),
  pxPerTick: z.number().nullable(),
  sePx: z.number().nullable(),
  firstTickYPx: z.number().nullable(),
  xPx: z.number().nullable(),
  ticks: z.int(),
  majorEvery: z.int().nullable(),
  slantRad: z.number(),
  unitCandidates: z.array(
    z.object({
      tickCm: z.number(),
      pxPerCm: z.number(),
      depthCm: z.number(),
      probability: z.number().min(0).max(1),
    }),
  ),
  confidence,
  reasons: z.array(rulerReason),
});

export const calibrationReason = z.enum([
  'CALIBRATION_FROM_FILE',
  'CALIBRATION_NEEDS_PERSON',
  'CALIBRATION_MISSING',
  'CALIBRATION_DIFFERS_FROM_RULER',
]);

export const assessedCalibration = z.object({
  /** Only what the file says; a ruler becomes a calibration when a person has confirmed its unit. */
  pxPerCm: z.number().positive().nullable(),
  reasons: z.array(calibrationReason),
});

export const cycleReason = z.enum([
  'CYCLE_FROM_R_WAVES',
  'CYCLE_FROM_PICTURES',
  'CYCLE_NOT_FOUND',
  'CYCLE_LOOP_SHORT',
  'CYCLE_TIMES_UNKNOWN',
  'CYCLE_FRAMES_REPEATED',
  'CYCLE_MOMENTS_NOT_OFFERED',
]);

export const assessedCycle = z.object({
  periodFrames: z.number().nullable(),
  beatsPerMinute: z.number().nullable(),
  beats: z.number().nullable(),
  framesPerBeat: z.number().nullable(),
  endDiastoleFrames: z.array(frameNumber),
  endSystoleFrames: z.array(frameNumber),
  confidence,
  reasons: z.array(cycleReason),
});

export const qualityCode = z.enum([
  'GAIN_LOW',
  'GAIN_HIGH',
  'FRAMES_PER_BEAT_LOW',
  'LOOP_SHORT',
  'SECTOR_CLIPPED',
  'DEPTH_SMALL',
  'DEPTH_LARGE',
  'FRAMES_REPEATED',
  'STILL_TEXT_INSIDE',
]);

export const qualityMark = z.object({ code: qualityCode, value: z.number(), limit: z.number(), confidence });

/** A closed outline in pixels of the original: x and y in turn. */
const polygon = z.array(z.number());

export const outlineShapeRecord = z.object({
  centreXPx: z.number(),
  centreYPx: z.number(),
  majorRadiusPx: z.number(),
  minorRadiusPx: z.number(),
  /** Direction of the longer diameter, degrees from the picture's right, turning down. */
  angleDeg: z.number(),
});

export const planeVerdict = z.enum(['on-axis', 'borderline', 'off-axis', 'not-round', 'not-assessable']);

export const planeReason = z.enum([
  'CAVITY_NOT_FOUND',
  'OUTLINE_FAINT',
  'OTHER_CAVITY_AS_LIKELY',
  'SEPTUM_FLAT',
  'RIGHT_VENTRICLE_LARGE',
  'WALLS_THICK',
  'CAVITY_NEARLY_CLOSES',
  'PICTURE_TOO_SMALL',
  'METHODS_DISAGREE',
  'OUTLINE_BY_PERSON',
]);

export const assessedShortAxis = z.object({
  verdict: planeVerdict,
  /** Shorter by longer diameter at end diastole, corrected for echoes being thicker along the beam. */
  axisRatio: z.number().nullable(),
  tiltDeg: z.number().nullable(),
  tiltLowDeg: z.number().nullable(),
  tiltHighDeg: z.number().nullable(),
  longDiameterDeg: z.number().nullable(),
  /** Diameter along the septum by the one across it; 1 is round. */
  eccentricityDiastole: z.number().nullable(),
  eccentricitySystole: z.number().nullable(),
  /** (end-diastolic − end-systolic) by end-diastolic area of the outlines. */
  fractionalAreaChange: z.number().nullable(),
  /** Blood seen in each frame as part of the most. */
  bloodAreaCurve: z.array(z.number()),
  /** One for each frame. */
  outlines: z.array(polygon),
  areasPx2: z.array(z.number()),
  endDiastole: outlineShapeRecord.nullable(),
  confidence,
  reasons: z.array(planeReason),
});

export const rootVerdict = z.enum(['round', 'borderline', 'oblique', 'not-assessable']);
export const rootReason = z.enum([
  'ROOT_NOT_FOUND',
  'ROOT_RING_FAINT',
  'ROOT_MUSCLE_ON_LEFT',
  'ROOT_MUSCLE_ON_RIGHT',
  'ROOT_PICTURE_TOO_SMALL',
]);

export const assessedRoot = z.object({
  verdict: rootVerdict,
  axisRatio: z.number().nullable(),
  tiltDeg: z.number().nullable(),
  longDiameterDeg: z.number().nullable(),
  /** Part of the surroundings that is thick muscle, 0 to 1. */
  solidSideFraction: z.number().nullable(),
  outline: polygon.nullable(),
  confidence,
  reasons: z.array(rootReason),
});

export const longAxisReason = z.enum([
  'LONG_AXIS_NOT_FOUND',
  'APEX_ROUNDED_AND_MOVING',
  'VENTRICLE_SHORT_FOR_WIDTH',
  'SUGGESTION_TO_CONFIRM',
]);

export const assessedLongAxis = z.object({
  /** Length by width of the left ventricle. */
  lengthToWidth: z.number().nullable(),
  /** Inner shortening of the length over the beat, part of the length. */
  apexMotion: z.number().nullable(),
  foreshortened: z.enum(['suspected', 'no-sign', 'not-assessable']),
  rightToLeftVentricle: z.number().nullable(),
  atriumToVentricle: z.number().nullable(),
  confidence,
  reasons: z.array(longAxisReason),
});

/** Assessment of one clip. `schema` rises with every change that older readers would misread. */
export const assessment = z.object({
  schema: z.literal(1),
  /** Version of the methods. */
  engine: z.string(),
  frameCount: z.int(),
  view: viewId.nullable(),
  sector: assessedSector,
  ruler: assessedRuler,
  calibration: assessedCalibration,
  cycle: assessedCycle,
  quality: z.array(qualityMark),
  /** null: not asked of this view. */
  shortAxis: assessedShortAxis.nullable(),
  aorticRoot: assessedRoot.nullable(),
  longAxis: assessedLongAxis.nullable(),
  /** Asked only where the file does not say what is picture; null: no sector that could be offered. */
  fan: fanProposal.nullable().optional(),
  /** Always true so far: no clinic has confirmed these marks on its own clips. */
  developedOnSyntheticClips: z.literal(true),
});
export type Assessment = z.infer<typeof assessment>;
export type AssessedShortAxis = z.infer<typeof assessedShortAxis>;
export type AssessedRoot = z.infer<typeof assessedRoot>;
export type AssessedLongAxis = z.infer<typeof assessedLongAxis>;
