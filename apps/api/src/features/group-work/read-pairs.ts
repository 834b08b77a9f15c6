import { type ReadPair, upgradeOpinionText } from '@chordae/contract';
import { standing } from '@chordae/interpretation';
import { and, desc, eq, isNotNull } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { practices } from '../accounts';
import { referrals } from '../cases';
import { measurementsOf } from '../measurements';
import { secondReads } from '../second-reads';
import { signedOpinions } from '../signatures';

/** Both reads of each referral that has two signed ones, newest first. */
export async function readPairs(tx: ActorTx, groupId: string): Promise<ReadPair[]> {
  const rows = await tx
    .select({ second: secondReads, first: signedOpinions, referral: referrals, practice: practices.name })
    .from(secondReads)
    .innerJoin(
      signedOpinions,
      and(
        eq(signedOpinions.practiceId, secondReads.practiceId),
        eq(signedOpinions.referralId, secondReads.referralId),
        eq(signedOpinions.kind, 'opinion'),
      ),
    )
    .innerJoin(
      referrals,
      and(eq(referrals.practiceId, secondReads.practiceId), eq(referrals.id, secondReads.referralId)),
    )
    .leftJoin(practices, eq(practices.id, secondReads.practiceId))
    .where(and(eq(secondReads.groupId, groupId), isNotNull(secondReads.signedAt)))
    .orderBy(desc(secondReads.signedAt))
    .limit(200);
  return Promise.all(
    rows.map(async ({ second, first, referral, practice }) => ({
      practiceId: second.practiceId,
      referralId: second.referralId,
      practiceName: practice ?? '',
      number: referral.number,
      patientName: referral.patientSent?.name ?? '',
      species: referral.patientSent?.species ?? 'other',
      firstReader: first.signerName,
      secondReader: second.memberName,
      signedAt: (second.signedAt ?? second.startedAt).toISOString(),
      first: upgradeOpinionText(first.fields),
      second: second.fields,
      urgency: referral.urgency,
      values: standing(await measurementsOf(tx, second.practiceId, second.referralId)).map((m) => ({
        code: m.code,
        value: m.value,
        unit: m.unit,
      })),
    })),
  );
}
