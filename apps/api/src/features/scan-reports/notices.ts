import type { ActorTx } from '../../platform/db/database';
import { enqueue, type JobPayloads } from '../../platform/jobs/enqueue';
import type { ReportPlace } from './scan-reports.repository';

/** Asks for a mail about a report: to one person, or to everybody of the practice but who caused it. */
export async function tellOfReport(
  tx: ActorTx,
  at: ReportPlace,
  news: {
    readonly what: JobPayloads['report.tell']['what'];
    readonly subjectId: string;
    readonly by: { readonly memberId: string; readonly name: string };
    readonly toId: string | null;
  },
): Promise<void> {
  await enqueue(
    tx,
    'report.tell',
    {
      practiceId: at.practiceId,
      referralId: at.referralId,
      what: news.what,
      subjectId: news.subjectId,
      byId: news.by.memberId,
      byName: news.by.name,
      toId: news.toId,
    },
    `tell:${news.what}:${news.subjectId}`,
  );
}
