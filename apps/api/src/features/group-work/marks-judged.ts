import {
  type Assessment,
  type AssessmentSummary,
  type ClipStatement,
  type MarkJudged,
  summaryOfAssessment,
} from '@chordae/contract';
import { sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';

type Judgement = Extract<ClipStatement, { kind: 'judgement' }>;

/** Every hint that a reader has judged, newest judgement of a clip only, newest first. */
export async function marksJudged(tx: ActorTx, groupId: string): Promise<MarkJudged[]> {
  const rows = await tx.execute<{
    clip_id: string;
    statement: Judgement;
    result: Assessment;
    by: string;
    at: string | Date;
  }>(sql`
    select distinct on (s.clip_id) s.clip_id, s.statement, a.result, s.made_by_name as by, s.made_at as at
      from clip_statements s join assessments a on a.practice_id = s.practice_id and a.clip_id = s.clip_id
     where s.group_id = ${groupId} and s.side = 'reader' and s.statement->>'kind' = 'judgement'
     order by s.clip_id, s.made_at desc limit 5000`);
  return rows
    .flatMap((row) => {
      const summary = summaryOfAssessment(row.result);
      if (!summary) return [];
      return compared(summary, row.statement).map((found) => ({
        clipId: row.clip_id,
        ...found,
        at: new Date(row.at).toISOString(),
      }));
    })
    .sort((a, b) => b.at.localeCompare(a.at));
}

/** A hint that keeps quiet is judged as well: a good view with no mark agrees, a doubtful one without a mark does not. */
function compared(summary: AssessmentSummary, judged: Judgement): Omit<MarkJudged, 'clipId' | 'at'>[] {
  const found: Omit<MarkJudged, 'clipId' | 'at'>[] = [];
  const verdict = summary.shortAxis?.verdict;
  if (judged.axis !== null && verdict && verdict !== 'not-assessable' && verdict !== 'borderline') {
    const off = verdict !== 'on-axis';
    found.push({
      mark: 'short-axis-cut',
      said: verdict,
      reader: judged.axis,
      agrees: off === (judged.axis === 'off-axis'),
    });
  }
  if (judged.judged !== 'not-possible') {
    const marked = summary.quality.some((m) => m.confidence >= 0.5);
    found.push({
      mark: 'picture-quality',
      said: marked ? 'marked' : 'not-marked',
      reader: judged.judged,
      agrees: marked === (judged.judged === 'doubtful'),
    });
  }
  return found;
}
