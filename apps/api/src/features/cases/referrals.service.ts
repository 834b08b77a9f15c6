import type { ScanPlanId } from '@chordae/contract';
import { and, eq, sql } from 'drizzle-orm';
import type { Actor, ActorTx } from '../../platform/db/database';
import { recordEvent } from '../events';
import { referrals } from './cases.tables';
import { addScan, interpretLater } from './referrals.repository';

export interface OpenReferral {
  readonly practiceId: string;
  readonly referralId: string;
  readonly patientId: string;
  readonly groupId: string | null;
  readonly plan: ScanPlanId;
  readonly scanId: string;
  readonly scannedOn: string;
}

/** Opens a draft with its first scan; the same id again returns what is there. */
export async function openReferral(
  tx: ActorTx,
  actor: Actor & { memberId: string },
  ask: OpenReferral,
): Promise<{ revision: number; number: number }> {
  const { practiceId, referralId } = ask;
  const there = (
    await tx
      .select()
      .from(referrals)
      .where(and(eq(referrals.practiceId, practiceId), eq(referrals.id, referralId)))
  )[0];
  if (there) return { revision: there.revision, number: there.number };
  const next = await tx.execute<{ n: number }>(
    sql`update practices set next_referral_number = next_referral_number + 1 where id = ${practiceId} returning next_referral_number - 1 as n`,
  );
  const number = next[0]?.n ?? 0;
  await tx.insert(referrals).values({
    practiceId,
    id: referralId,
    wantedGroupId: ask.groupId,
    patientId: ask.patientId,
    number,
    plan: ask.plan,
    createdBy: actor.memberId,
  });
  await addScan(tx, {
    practiceId,
    scanId: ask.scanId,
    referralId,
    patientId: ask.patientId,
    groupId: null,
    scannedOn: ask.scannedOn,
    by: actor.memberId,
    operator: actor.name,
  });
  await recordEvent(tx, actor, {
    practiceId,
    groupId: null,
    referralId,
    kind: 'referral.opened',
    data: { plan: ask.plan },
  });
  await interpretLater(tx, practiceId, referralId);
  return { revision: 1, number };
}
