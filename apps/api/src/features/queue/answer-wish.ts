import { sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { findReferral, moveReferral } from '../cases';

/** The practice says that the wanted views are in. The clock, stopped meanwhile, goes on; for an emergency it never stopped. */
export async function answerWish(
  tx: ActorTx,
  services: Services,
  actor: Actor,
  ask: { practiceId: string; referralId: string; base: number; wishId: string; note: string },
): Promise<{ revision: number }> {
  const referral = await findReferral(tx, ask.practiceId, ask.referralId);
  const answered = await tx.execute(sql`
    update rescan_wishes set answered_at = app_now(), answer_note = ${ask.note}
     where practice_id = ${ask.practiceId} and referral_id = ${ask.referralId} and id = ${ask.wishId} and answered_at is null returning id`);
  if (answered.length === 0) throw new AppError('STATE_CHANGED', { state: referral.state });
  const now = services.clock.now();
  const stoppedMs =
    referral.clockStoppedAt && referral.urgency !== 'emergency'
      ? now.getTime() - referral.clockStoppedAt.getTime()
      : 0;
  const dueAt = referral.dueAt ? new Date(referral.dueAt.getTime() + stoppedMs) : null;
  const { revision } = await moveReferral(
    tx,
    actor,
    ask,
    'referral.images-sent',
    ask.base,
    { dueAt, clockStoppedAt: null },
    { wishId: ask.wishId, note: ask.note },
  );
  return { revision };
}
