import { z } from 'zod';
import { id, moment } from './ids';
import { canonicalUnit, measurementCode } from './measurement-codes';
import { observationCode } from './observation-codes';
import { viewId } from './terms';

export const measurementSource = z.enum(['typed', 'machine', 'caliper', 'computed']);

/** A point on a frame of the original, in pixels from its upper left corner. */
export const framePoint = z.object({ x: z.number(), y: z.number() });
export type FramePoint = z.infer<typeof framePoint>;

/** What was drawn: kept so that the value can be traced and redrawn. */
export const geometry = z.object({
  shape: z.enum(['length']),
  points: z.array(framePoint).min(2).max(64),
  clipId: id,
  frame: z.int().min(0),
  /** cm per pixel at the time of drawing, x and y; and where it came from. */
  cmPerPixelX: z.number().positive(),
  cmPerPixelY: z.number().positive(),
  calibration: z.string().max(80),
});
export type Geometry = z.infer<typeof geometry>;

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
