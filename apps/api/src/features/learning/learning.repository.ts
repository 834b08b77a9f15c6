import { LEARNING_FROM_CASES, type Learning, type Sender } from '@chordae/contract';
import { type SQL, sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { type JudgedClip, type SideValue, tallyMeasured, tallyViews } from './tally';

const ANSWERED = sql`('answered', 'closed')`;

/** Whose scans they are: a scan under whose name somebody else was written is not this person's. */
export interface Scanner {
  readonly memberId: string;
  readonly name: string;
}

/** Answered cases with a scan that this person made. Row-level security leaves what the viewer may see; `groupId` narrows it. */
function casesOf({ memberId, name }: Scanner, groupId: string | null): SQL {
  return sql`
    own as (
      select s.practice_id, s.id as scan_id, s.scanned_on, sr.referral_id, r.patient_sent->>'species' as species
        from scans s join scan_referrals sr on sr.practice_id = s.practice_id and sr.scan_id = s.id
        join referrals r on r.practice_id = sr.practice_id and r.id = sr.referral_id
       where s.created_by = ${memberId} and s.operator in ('', ${name}) and r.state in ${ANSWERED}
         and ${groupId === null ? sql`r.group_id is not null` : sql`r.group_id = ${groupId}`})`;
}

/** What readers made of a person's scans. Below the number of cases nothing but that number leaves the server. */
export async function learningOf(tx: ActorTx, who: Scanner, groupId: string | null): Promise<Learning> {
  const counted = await tx.execute<{ n: number }>(
    sql`with ${casesOf(who, groupId)} select count(distinct (practice_id, referral_id))::int as n from own`,
  );
  const answeredCases = counted[0]?.n ?? 0;
  const result = { answeredCases, from: LEARNING_FROM_CASES };
  if (answeredCases < LEARNING_FROM_CASES) return { ...result, views: [], measured: [] };
  const clips = await tx.execute<{ view: JudgedClip['view']; day: string; judged: JudgedClip['judged'] }>(sql`
    with ${casesOf(who, groupId)}
    select coalesce(said.statement->>'view', c.view) as view, to_char(own.scanned_on, 'YYYY-MM-DD') as day, said.statement->>'judged' as judged
      from own join clips c on c.practice_id = own.practice_id and c.scan_id = own.scan_id and c.referral_id = own.referral_id
      left join lateral (select t.statement from clip_statements t
                          where t.practice_id = c.practice_id and t.clip_id = c.id and t.side = 'reader' and t.statement->>'kind' = 'judgement'
                          order by t.made_at desc, t.id desc limit 1) said on true
     where coalesce(said.statement->>'view', c.view) is not null`);
  // A reader's value may supersede the person's: what the person last said is still theirs.
  const values = await tx.execute<{
    referral_id: string;
    species: SideValue['species'];
    code: SideValue['code'];
    unit: string;
    view: string | null;
    beat: number | null;
    side: SideValue['side'];
    value: number;
  }>(sql`
    with ${casesOf(who, groupId)}
    select m.referral_id, seen.species, m.code, m.unit, m.view, m.beat, m.side, m.value
      from (select distinct practice_id, referral_id, species from own) seen
      join measurements m on m.practice_id = seen.practice_id and m.referral_id = seen.referral_id
     where not m.withdrawn and (m.side = 'reader' or (m.side = 'sender' and m.made_by = ${who.memberId}))
       and not exists (select 1 from measurements n where n.practice_id = m.practice_id and n.supersedes_id = m.id and n.side = m.side)`);
  return {
    ...result,
    views: tallyViews(clips),
    measured: tallyMeasured(values.map(({ referral_id: referralId, ...v }) => ({ referralId, ...v }))),
  };
}

/** Who scans for a group and has sent something, by name: no order of merit. */
export async function sendersOf(tx: ActorTx, groupId: string): Promise<Sender[]> {
  const rows = await tx.execute<{ member_id: string; name: string; n: number }>(sql`
    select w.member_id, w.name, count(distinct (r.practice_id, r.id)) filter (where r.state in ${ANSWERED})::int as n
      from senders_of(${groupId}) w
      join scans s on s.created_by = w.member_id and s.operator in ('', w.name)
      join scan_referrals sr on sr.practice_id = s.practice_id and sr.scan_id = s.id
      join referrals r on r.practice_id = sr.practice_id and r.id = sr.referral_id
     where r.group_id = ${groupId} group by w.member_id, w.name order by w.name, w.member_id`);
  return rows.map((r) => ({ memberId: r.member_id, name: r.name, answeredCases: r.n }));
}
