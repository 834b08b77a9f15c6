import type { Message, Outcome, RecheckRow, Species } from '@chordae/contract';
import { and, asc, eq, sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { messages, outcomes } from './after-answer.tables';

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

export async function outcomeOf(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<Outcome | null> {
  const row = (
    await tx
      .select()
      .from(outcomes)
      .where(and(eq(outcomes.practiceId, practiceId), eq(outcomes.referralId, referralId)))
  )[0];
  return row
    ? { answer: row.answer, words: row.words, by: row.madeByName, at: row.madeAt.toISOString() }
    : null;
}

/** Referrals of a group in which the practice wrote last. */
export async function referralsWithQuestion(tx: ActorTx, groupId: string): Promise<Set<string>> {
  const rows = await tx.execute<{ referral_id: string }>(sql`
    select referral_id from (select distinct on (referral_id) referral_id, side from messages
      where group_id = ${groupId} order by referral_id, made_at desc, id desc) newest where side = 'practice'`);
  return new Set(rows.map((r) => r.referral_id));
}

/** Days at which signed opinions want a patient looked at again; the newest opinion of a patient counts. */
export async function rechecksOf(tx: ActorTx, practiceId: string): Promise<RecheckRow[]> {
  const rows = await tx.execute<{
    referral_id: string;
    number: number;
    patient_id: string;
    name: string;
    species: Species;
    due_on: string;
    what: string;
    scanned_since: string | null;
  }>(sql`
    select * from (
      select distinct on (r.patient_id) r.id as referral_id, r.number, r.patient_id, p.name, p.species,
             o.fields->>'recheckOn' as due_on, coalesce(o.fields->>'recheckFor', '') as what,
             (select to_char(max(s.scanned_on), 'YYYY-MM-DD') from scans s
               where s.practice_id = r.practice_id and s.patient_id = r.patient_id
                 and s.scanned_on > (o.signed_at at time zone 'UTC')::date) as scanned_since
        from signed_opinions o
        join referrals r on r.practice_id = o.practice_id and r.id = o.referral_id
        join patients p on p.practice_id = r.practice_id and p.id = r.patient_id
       where o.practice_id = ${practiceId} and o.kind = 'opinion'
       order by r.patient_id, o.signed_at desc) newest
     where due_on is not null order by due_on, name limit 1000`);
  return rows.map((r) => ({
    referralId: r.referral_id,
    number: r.number,
    patientId: r.patient_id,
    patientName: r.name,
    species: r.species,
    dueOn: r.due_on,
    what: r.what,
    scannedSince: r.scanned_since,
  }));
}
