import { z } from 'zod';
import type { Assessment } from './assessment';
import { assessedLongAxis, assessedRoot, assessedShortAxis, assessment } from './assessment';

/** An assessment without its outlines and curves: what lists and sheets need. */
export const assessmentSummary = assessment
  .pick({ engine: true, view: true, frameCount: true, quality: true, cycle: true, calibration: true })
  .extend({
    shortAxis: assessedShortAxis.omit({ outlines: true, areasPx2: true, bloodAreaCurve: true }).nullable(),
    aorticRoot: assessedRoot.omit({ outline: true }).nullable(),
    longAxis: assessedLongAxis.nullable(),
  });
export type AssessmentSummary = z.infer<typeof assessmentSummary>;

/** Leaves out the outlines and curves, which are asked for one clip at a time. */
export function summaryOfAssessment(full: Assessment): AssessmentSummary {
  const parsed = z.object(assessmentSummary.shape).safeParse(full);
  if (!parsed.success) throw new Error('an assessment that was stored does not fit its own schema');
  return parsed.data;
}
