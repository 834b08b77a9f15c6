import { z } from 'zod';
import type { Assessment } from './assessment';
import { assessedLongAxis, assessedRoot, assessedShortAxis, assessment } from './assessment';

/** An assessment without its outlines and curves: what lists and sheets need. */
export const assessmentSummary = assessment
  .pick({
    engine: true,
    view: true,
    frameCount: true,
    quality: true,
    cycle: true,
    calibration: true,
    fan: true,
  })
  .extend({
    shortAxis: assessedShortAxis.omit({ outlines: true, areasPx2: true, bloodAreaCurve: true }).nullable(),
    aorticRoot: assessedRoot.omit({ outline: true }).nullable(),
    longAxis: assessedLongAxis.nullable(),
  });
export type AssessmentSummary = z.infer<typeof assessmentSummary>;

/**
 * Leaves out the outlines and curves, which are asked for one clip at a time. null for one that was stored in a shape that
 * is no longer read: its hints are missed, and the case is shown all the same.
 */
export function summaryOfAssessment(full: Assessment): AssessmentSummary | null {
  return z.object(assessmentSummary.shape).safeParse(full).data ?? null;
}
