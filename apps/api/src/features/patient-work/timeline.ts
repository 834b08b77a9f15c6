import type { ReferralState, ScanPlanId, TimelineEntry } from '@chordae/contract';
import { sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';

/** All that happened to an animal under any of its ids, newest first. Days are those of the practice's own zone. */
export async function timelineOf(
  tx: ActorTx,
  practiceId: string,
  patientId: string,
  family: readonly string[],
): Promise<TimelineEntry[]> {
  const ids = `{${family.join()}}`;
  const rows = await tx.execute<{
    kind: TimelineEntry['kind'];
    made_from: string;
    day: string;
    referral_id: string | null;
    number: number | null;
    plan: ScanPlanId | null;
    state: ReferralState | null;
    by: string;
    words: string;
    clips: number | null;
    patient_id: string;
    under: number;
  }>(sql`
    with place as (select zone from practices where id = ${practiceId}),
    own as (select r.* from referrals r where r.practice_id = ${practiceId} and r.patient_id = any(${ids}::uuid[])),
    said as (
      select case when sr.position > 1 then 'rescan' else 'scan' end as kind, s.scanned_on as day, s.created_at as at,
             r.id as referral_id, r.number, r.plan, r.state, s.operator as by, s.machine as words, s.id as made_from,
             (select count(*)::int from clips c where c.practice_id = s.practice_id and c.scan_id = s.id) as clips, s.patient_id
        from scans s left join scan_referrals sr on sr.practice_id = s.practice_id and sr.scan_id = s.id
        left join referrals r on r.practice_id = sr.practice_id and r.id = sr.referral_id
       where s.practice_id = ${practiceId} and s.patient_id = any(${ids}::uuid[])
      union all
      select 'referral', (o.sent_at at time zone zone)::date, o.sent_at, o.id, o.number, o.plan, o.state,
             coalesce((select g.name from reading_groups g where g.id = o.group_id), ''), o.question, o.id, null, o.patient_id
        from own o, place where o.sent_at is not null
      union all
      select case p.kind when 'report' then 'report' else 'report-addendum' end, (p.signed_at at time zone zone)::date, p.signed_at,
             o.id, o.number, o.plan, o.state, p.signer_name, coalesce(p.fields->>'conclusion', p.fields->>'text', ''), p.id, null, o.patient_id
        from signed_reports p join own o on o.id = p.referral_id, place where p.practice_id = ${practiceId}
      union all
      select p.kind, (p.signed_at at time zone zone)::date, p.signed_at,
             o.id, o.number, o.plan, o.state, p.signer_name, coalesce(p.fields->>'conclusion', p.fields->>'text', ''), p.id, null, o.patient_id
        from signed_opinions p join own o on o.id = p.referral_id, place where p.practice_id = ${practiceId}
      union all
      select 'recheck', (p.fields->>'recheckOn')::date, p.signed_at,
             o.id, o.number, o.plan, o.state, p.signer_name, coalesce(p.fields->>'recheckFor', ''), p.id, null, o.patient_id
        from (select id, practice_id, referral_id, fields, signer_name, signed_at from signed_opinions where kind = 'opinion'
              union all
              select id, practice_id, referral_id, fields, signer_name, signed_at from signed_reports where kind = 'report') p
        join own o on o.id = p.referral_id
       where p.practice_id = ${practiceId} and p.fields->>'recheckOn' is not null
      union all
      select 'outcome', (u.made_at at time zone zone)::date, u.made_at, o.id, o.number, o.plan, o.state, u.made_by_name, u.answer, o.id, null, o.patient_id
        from outcomes u join own o on o.id = u.referral_id, place where u.practice_id = ${practiceId})
    select kind, to_char(day, 'YYYY-MM-DD') as day, referral_id, said.number, plan, state, by, words, clips, patient_id, made_from, p.number as under
      from said join patients p on p.practice_id = ${practiceId} and p.id = said.patient_id
     order by said.day desc, said.at desc limit 2000`);
  return rows.map((r) => ({
    key: `${r.kind} ${r.made_from}`,
    kind: r.kind,
    day: r.day,
    referralId: r.referral_id,
    referralNumber: r.number,
    plan: r.plan,
    state: r.state,
    by: r.by,
    words: r.words,
    clips: r.clips,
    underNumber: r.patient_id === patientId ? null : r.under,
  }));
}
