import { z } from 'zod';
import { id, moment } from './ids';
import { canonicalUnit, measurementCode } from './measurement-codes';
import { observationCode } from './observation-codes';
import { viewId } from './terms';

export const measurementSource = z.enum(['typed', 'machine', 'caliper', 'computed']);

/** A point on a frame of the original, in pixels from its upper left corner. */
export const framePoint = z.object({ x: z.number(), y: z.number() });
export type FramePoint = z.infer<typeof framePoint>;

/** Units per pixel at the time of drawing, both positive; `baselineY` is the pixel row of zero velocity, from the frame's top. */
export const drawnScale = z.object({
  x: z.number().positive(),
  unitX: z.enum(['cm', 's']),
  y: z.number().positive(),
  unitY: z.enum(['cm', 'cm/s']),
  baselineY: z.number().nullable(),
});
export type DrawnScale = z.infer<typeof drawnScale>;

/**
 * Shapes: `length`, `time`, `slope` have two points; `velocity` one; `angle` three, the corner second; `ellipse` the two ends
 * of one axis and one end of the other; `outline` and `trace` as many as were drawn, closed and open; `discs` a chamber's wall
 * from one side of its base to the other, with the axis from the middle of the base to the far end; `ratio` is two lengths on
 * one clip, the first in `points` and the other in `second`, in pixels: it needs no scale, and its `scale` says nothing.
 */
export const drawnShape = z.enum([
  'length',
  'time',
  'slope',
  'velocity',
  'angle',
  'ellipse',
  'outline',
  'trace',
  'discs',
  'ratio',
]);
export type DrawnShape = z.infer<typeof drawnShape>;

const drawn = z.object({
  points: z.array(framePoint).min(1).max(512),
  clipId: id,
  frame: z.int().min(0),
  scale: drawnScale,
  /** Base and far end of the long axis; only for discs. */
  axis: z.tuple([framePoint, framePoint]).nullable(),
});

/** What was drawn: kept so that the value can be traced and redrawn. */
export const geometry = drawn.extend({
  shape: drawnShape,
  /** Where the scale comes from: a region of the file, or a person's calibration. */
  calibration: z.string().max(80),
  /** The second plane of a volume by discs. */
  second: drawn.nullable(),
});
export type Geometry = z.infer<typeof geometry>;

/** Upgrades what was stored before scales had units (lengths only, cm per pixel). Null stays null. */
export function upgradeGeometry(stored: unknown): Geometry | null {
  if (stored === null || stored === undefined) return null;
  const old = stored as { cmPerPixelX?: number; cmPerPixelY?: number };
  if (old.cmPerPixelX === undefined || old.cmPerPixelY === undefined) return stored as Geometry;
  const { cmPerPixelX: x, cmPerPixelY: y, ...rest } = old;
  const scale = { x, unitX: 'cm', y, unitY: 'cm', baselineY: null };
  return { ...rest, scale, axis: null, second: null } as unknown as Geometry;
}

/** What a person or machine enters. `value` is canonical; `asTyped` keeps text and unit. */
export const measurementEntry = z.object({
  code: measurementCode,
  value: z.number().finite(),
  unit: canonicalUnit,
  asTyped: z.string().max(60),
  view: viewId.nullable(),
  method: z.enum(['2d', 'm-mode', 'doppler', 'other']).nullable(),
  beat: z.int().min(1).max(20).nullable(),
  clipId: id.nullable(),
  frame: z.int().min(0).nullable(),
  source: measurementSource,
  geometry: geometry.nullable(),
  /** The measurement this one replaces; it stays readable. */
  supersedesId: id.nullable(),
  /** true takes the superseded value away without giving a new one. */
  withdrawn: z.boolean().default(false),
});
export type MeasurementEntry = z.infer<typeof measurementEntry>;

export const measurementRecord = measurementEntry.extend({
  id,
  side: z.enum(['sender', 'reader', 'machine']),
  madeBy: z.string(),
  madeAt: moment,
  supersededById: id.nullable(),
});
export type MeasurementRecord = z.infer<typeof measurementRecord>;

export const observationEntry = z.object({
  code: observationCode,
  /** One of the code's values; null withdraws the answer. */
  value: z.string().max(40).nullable(),
  supersedesId: id.nullable(),
});
export type ObservationEntry = z.infer<typeof observationEntry>;

export const observationRecord = observationEntry.extend({
  id,
  side: z.enum(['sender', 'reader', 'machine']),
  madeBy: z.string(),
  madeAt: moment,
  supersededById: id.nullable(),
});
export type ObservationRecord = z.infer<typeof observationRecord>;
