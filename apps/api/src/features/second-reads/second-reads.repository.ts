import type { SecondRead } from '@chordae/contract';
import { and, eq, isNull } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
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
