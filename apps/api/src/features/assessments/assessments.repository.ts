import type { Assessment, AssessmentSummary } from '@chordae/contract';
import { assessment, summaryOfAssessment } from '@chordae/contract';
import { and, eq, inArray } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { assessments } from './assessments.tables';

/** Assessments of clips as the actor may see them, without outlines, by clip. */
export async function assessmentSummaries(
  tx: ActorTx,
  practiceId: string,
  clipIds: readonly string[],
): Promise<Map<string, AssessmentSummary>> {
  if (clipIds.length === 0) return new Map();
  const rows = await tx
    .select()
    .from(assessments)
    .where(and(eq(assessments.practiceId, practiceId), inArray(assessments.clipId, [...clipIds])));
  return new Map(
    rows.flatMap((row) => {
      const summary = summaryOfAssessment(row.result);
      return summary === null ? [] : [[row.clipId, summary] as const];
    }),
  );
}

/** The whole assessment of a clip; null when there is none, or none that this version reads. */
export async function findAssessment(
  tx: ActorTx,
  practiceId: string,
  clipId: string,
): Promise<Assessment | null> {
  const rows = await tx
    .select({ result: assessments.result })
    .from(assessments)
    .where(and(eq(assessments.practiceId, practiceId), eq(assessments.clipId, clipId)));
  return assessment.safeParse(rows[0]?.result).data ?? null;
}
