import { z } from 'zod';
import { id, moment } from './ids';
import { framePoint } from './measurement';
import { viewId } from './terms';

/**
 * What a person says about a clip. Statements are only ever added; of each kind (and frame, for outlines) the newest stands,
 * a reader's before a sender's.
 */
export const clipStatement = z.discriminatedUnion('kind', [
  /** The length of a pixel, where the file does not say: two points and their distance, or the ruler that was found and agreed to. */
  z.object({
    kind: z.literal('calibration'),
    cmPerPixel: z.number().positive().max(1),
    from: z.enum(['two-points', 'ruler']),
    points: z.tuple([framePoint, framePoint]).nullable(),
    distanceMm: z.number().positive().max(600).nullable(),
  }),
  /** Frames of end-diastole and end-systole, counted from 0. */
  z.object({
    kind: z.literal('marks'),
    endDiastole: z.array(z.int().min(0)).max(200),
    endSystole: z.array(z.int().min(0)).max(200),
  }),
  /** Is the view there and good enough; the view may be another one than the sender named. */
  z.object({
    kind: z.literal('judgement'),
    view: viewId,
    judged: z.enum(['adequate', 'doubtful', 'not-possible']),
    /** For a short axis: what the reader makes of the cut; null where it was not judged. */
    axis: z.enum(['on-axis', 'off-axis']).nullable(),
    why: z.string().trim().max(300),
  }),
  /** The inner edge of the ventricle in a short axis, corrected by hand. */
  z.object({
    kind: z.literal('outline'),
    frame: z.int().min(0),
    points: z.array(framePoint).min(8).max(256),
  }),
  /** Where the pictures come from: a file of the machine, or a camera held before a screen. */
  z.object({ kind: z.literal('source'), source: z.enum(['machine-file', 'filmed-screen']) }),
]);
export type ClipStatement = z.infer<typeof clipStatement>;

export const clipStatementRecord = z.object({
  id,
  clipId: id,
  statement: clipStatement,
  side: z.enum(['sender', 'reader']),
  by: z.string(),
  at: moment,
});
export type ClipStatementRecord = z.infer<typeof clipStatementRecord>;
