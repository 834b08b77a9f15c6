import type { Outcome, RecheckRow, Species } from '@chordae/contract';
import { and, eq, sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { outcomes } from './after-answer.tables';

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

/** Days at which signed opinions and scan reports want a patient looked at again; the newest counts, of all that it was merged with. */
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
      select distinct on (p.id) r.id as referral_id, r.number, p.id as patient_id, p.name, p.species,
             o.fields->>'recheckOn' as due_on, coalesce(o.fields->>'recheckFor', '') as what,
             (select to_char(max(s.scanned_on), 'YYYY-MM-DD') from scans s
               where s.practice_id = r.practice_id and s.patient_id = any(patient_family(p.practice_id, p.id))
                 and s.scanned_on > (o.signed_at at time zone 'UTC')::date) as scanned_since
        from (select practice_id, referral_id, fields, signed_at from signed_opinions where practice_id = ${practiceId} and kind = 'opinion'
              union all
              select practice_id, referral_id, fields, signed_at from signed_reports where practice_id = ${practiceId} and kind = 'report') o
        join referrals r on r.practice_id = o.practice_id and r.id = o.referral_id
        join patients p on p.practice_id = r.practice_id and p.id = patient_root(r.practice_id, r.patient_id)
       order by p.id, o.signed_at desc) newest
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
