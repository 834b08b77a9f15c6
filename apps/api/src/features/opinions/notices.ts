import type { ActorTx } from '../../platform/db/database';
import type { CaseRef } from '../../platform/http/route-server';
import { enqueue } from '../../platform/jobs/enqueue';

/** Asks for a mail to the practice. The job, acting for the practice, knows its people; the group never does. */
export async function mailPractice(
  tx: ActorTx,
  onCase: Pick<CaseRef, 'practiceId' | 'referralId'>,
  what: 'interim' | 'wish' | 'opinion',
  id: string,
): Promise<void> {
  await enqueue(
    tx,
    'practice.tell',
    { practiceId: onCase.practiceId, referralId: onCase.referralId, what, subjectId: id },
    `tell:${what}:${id}`,
  );
}
