import type { AccountKind, ScanPlanId } from '@chordae/contract';
import { type SQL, sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';

export interface CountedThing {
  readonly key: string;
  readonly practiceId: string;
  readonly kind: AccountKind;
  readonly day: string;
  readonly doneOn: string;
  readonly referralId: string;
  readonly caseNumber: number;
  readonly patientName: string;
  readonly patientNumber: number;
  readonly plan: ScanPlanId;
  readonly memberId: string;
  /** As it stood on the scan or under the report. */
  readonly writtenName: string;
  readonly counted: boolean;
  readonly afterMonth: boolean;
}

/**
 * All that a month's account lists, by the rules in COUNTING_RULES: of the practices named, and of one person where one is
 * given. Days are calendar days of each practice's own zone.
 */
export async function accountLines(
  tx: ActorTx,
  practiceIds: readonly string[],
  month: string,
  memberId: string | null,
): Promise<CountedThing[]> {
  if (practiceIds.length === 0) return [];
  const places = `{${practiceIds.join()}}`;
  const first = sql`(${`${month}-01`}::date)`;
  const after = sql`(${`${month}-01`}::date + interval '1 month')::date`;
  const inMonth = (day: SQL) => sql`${day} >= ${first} and ${day} < ${after}`;
  const rows = await tx.execute<{
    practice_id: string;
    made_from: string;
    kind: AccountKind;
    day: string;
    done_on: string;
    referral_id: string;
    number: number;
    name: string;
    patient_number: number;
    plan: ScanPlanId;
    member_id: string;
    written: string;
    counted: boolean;
    after_month: boolean;
  }>(sql`
    with place as (select id, zone from practices where id = any(${places}::uuid[])),
    ordered as (
      -- A scan that was attached to a second case stays with its first.
      select distinct on (s.practice_id, s.id) s.practice_id, s.id, s.scanned_on, s.created_at, s.created_by, s.operator,
             sr.referral_id, sr.position
        from scans s join scan_referrals sr on sr.practice_id = s.practice_id and sr.scan_id = s.id
        join referrals r on r.practice_id = sr.practice_id and r.id = sr.referral_id
       where s.practice_id = any(${places}::uuid[])
       order by s.practice_id, s.id, r.number),
    opening as (
      select distinct on (practice_id, referral_id) * from ordered order by practice_id, referral_id, position, created_at),
    reported as (select practice_id, id, referral_id, signer_id, signer_name, signed_at from signed_reports
                  where practice_id = any(${places}::uuid[]) and kind = 'report'),
    things as (
      select o.practice_id, case when f.id = o.id then 'scan' else 'rescan' end as kind, o.scanned_on as day, o.created_at as done_at,
             o.referral_id, o.created_by as member_id, o.operator as written, o.id as made_from
        from ordered o join opening f on f.practice_id = o.practice_id and f.referral_id = o.referral_id
       where ${inMonth(sql`o.scanned_on`)}
      union all
      select p.practice_id, 'report', f.scanned_on, p.signed_at, p.referral_id, p.signer_id, p.signer_name, p.id
        from reported p join opening f on f.practice_id = p.practice_id and f.referral_id = p.referral_id
       where ${inMonth(sql`f.scanned_on`)}
      union all
      select r.practice_id, 'referral', f.scanned_on, r.sent_at, r.id, f.created_by, f.operator, r.id
        from referrals r join opening f on f.practice_id = r.practice_id and f.referral_id = r.id
       where r.practice_id = any(${places}::uuid[]) and r.sent_at is not null and ${inMonth(sql`f.scanned_on`)})
    select t.practice_id, t.kind, to_char(t.day, 'YYYY-MM-DD') as day, to_char(t.done_at at time zone place.zone, 'YYYY-MM-DD') as done_on,
           t.referral_id, r.number, p.name, p.number as patient_number, r.plan, t.member_id, t.written, t.made_from,
           (r.withdrawn_at is null or t.kind = 'report'
             or (t.kind in ('scan', 'rescan') and exists (select 1 from reported q where q.practice_id = t.practice_id and q.referral_id = t.referral_id))) as counted,
           (t.done_at at time zone place.zone)::date >= ${after} as after_month
      from things t join place on place.id = t.practice_id
      join referrals r on r.practice_id = t.practice_id and r.id = t.referral_id
      join patients p on p.practice_id = r.practice_id and p.id = patient_root(r.practice_id, r.patient_id)
     where ${memberId === null ? sql`true` : sql`t.member_id = ${memberId}`}
     order by t.practice_id, t.day, r.number, array_position(array['scan', 'rescan', 'report', 'referral'], t.kind), t.done_at`);
  return rows.map((r) => ({
    key: `${r.kind} ${r.made_from}`,
    practiceId: r.practice_id,
    kind: r.kind,
    day: r.day,
    doneOn: r.done_on,
    referralId: r.referral_id,
    caseNumber: r.number,
    patientName: r.name,
    patientNumber: r.patient_number,
    plan: r.plan,
    memberId: r.member_id,
    writtenName: r.written,
    counted: r.counted,
    afterMonth: r.after_month,
  }));
}
