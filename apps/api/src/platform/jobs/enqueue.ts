import { sql } from 'drizzle-orm';
import type { ActorTx } from '../db/database';

/** Every job with its payload: the chain of stages is this table. */
export interface JobPayloads {
  'original.read': { practiceId: string; arrivalId: string };
  'clip.remask': { practiceId: string; clipId: string };
  'clip.assess': { practiceId: string; clipId: string };
  'case.interpret': { practiceId: string; referralId: string };
  'opinion.render': { practiceId: string; signedId: string };
  'report.render': { practiceId: string; signedId: string };
  'report.tell': {
    practiceId: string;
    referralId: string;
    what: 'report' | 'report-addendum' | 'report-question' | 'report-answer';
    subjectId: string;
    byId: string;
    byName: string;
    /** Whom it concerns; null: everybody of the practice. */
    toId: string | null;
  };
  'practice.tell': {
    practiceId: string;
    referralId: string;
    what: 'interim' | 'wish' | 'opinion' | 'message' | 'outcome';
    subjectId: string;
  };
  'emergency.watch': { practiceId: string; referralId: string; round: number };
  'group.tell': { practiceId: string; referralId: string; messageId: string };
  'mail.send': { practiceId: string };
}
export type JobName = keyof JobPayloads;

/** Adds a job inside the storing transaction: no row without its job, no job without its row. `key` replaces a waiting twin. */
export async function enqueue<N extends JobName>(
  tx: ActorTx,
  name: N,
  payload: JobPayloads[N],
  key?: string,
  /** The queue's own clock counts, which is the database's. */
  afterMs = 0,
): Promise<void> {
  await tx.execute(
    sql`select enqueue(${name}, ${JSON.stringify(payload)}, ${key ?? null}, case when ${afterMs}::bigint > 0 then now() + make_interval(secs => ${afterMs}::bigint / 1000.0) end)`,
  );
}
