import { type ReadPair, type SecondRead, upgradeOpinionText } from '@chordae/contract';
import { standing } from '@chordae/interpretation';
import { and, desc, eq, isNotNull, isNull } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { practices } from '../accounts';
import { referrals } from '../cases';
import { measurementsOf } from '../measurements';
import { signedOpinions } from '../signatures';
import { secondReads } from './second-reads.tables';

export type SecondReadRow = typeof secondReads.$inferSelect;

export async function secondReadRow(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<SecondReadRow | null> {
  const rows = await tx
    .select()
    .from(secondReads)
    .where(and(eq(secondReads.practiceId, practiceId), eq(secondReads.referralId, referralId)));
  return rows[0] ?? null;
}

export function toSecondRead(row: SecondReadRow): SecondRead {
  return {
    ...row.fields,
    id: row.id,
    revision: row.revision,
    startedAt: row.startedAt.toISOString(),
    signedAt: row.signedAt?.toISOString() ?? null,
  };
}

/** Referrals of which this member has an unsigned second read: what the first reader did there stays hidden. */
export async function openSecondReadsOf(tx: ActorTx, memberId: string): Promise<Set<string>> {
  const rows = await tx
    .select({ referralId: secondReads.referralId })
    .from(secondReads)
    .where(and(eq(secondReads.memberId, memberId), isNull(secondReads.signedAt)));
  return new Set(rows.map((r) => r.referralId));
}

/** Referrals of a group whose second read somebody has begun. */
export async function secondReadsStarted(tx: ActorTx, groupId: string): Promise<Set<string>> {
  const rows = await tx
    .select({ referralId: secondReads.referralId })
    .from(secondReads)
    .where(eq(secondReads.groupId, groupId));
  return new Set(rows.map((r) => r.referralId));
}

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
