import type { Message } from '@chordae/contract';
import { and, asc, eq, sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { messages } from './messages.tables';

export async function threadOf(tx: ActorTx, practiceId: string, referralId: string): Promise<Message[]> {
  const rows = await tx
    .select()
    .from(messages)
    .where(and(eq(messages.practiceId, practiceId), eq(messages.referralId, referralId)))
    .orderBy(asc(messages.madeAt), asc(messages.id));
  return rows.map((m) => ({
    id: m.id,
    side: m.side,
    text: m.text,
    by: m.madeByName,
    at: m.madeAt.toISOString(),
  }));
}

/** Referrals of a group in which the practice wrote last. */
export async function referralsWithQuestion(tx: ActorTx, groupId: string): Promise<Set<string>> {
  const rows = await tx.execute<{ referral_id: string }>(sql`
    select referral_id from (select distinct on (referral_id) referral_id, side from messages
      where group_id = ${groupId} order by referral_id, made_at desc, id desc) newest where side = 'practice'`);
  return new Set(rows.map((r) => r.referral_id));
}
