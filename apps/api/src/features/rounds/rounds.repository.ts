import {
  type FoundPatient,
  isVisitDone,
  type ReferralState,
  type Round,
  type RoundRow,
  type RoundText,
  type Visit,
} from '@chordae/contract';
import { and, desc, eq, sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import { containing } from '../../platform/db/like';
import { rounds, roundVisits } from './rounds.tables';

export type RoundDbRow = typeof rounds.$inferSelect;
export type VisitDbRow = typeof roundVisits.$inferSelect;

const EMPTY_ROUND: RoundText = { title: '', note: '', practiceOrder: [] };

export const textOf = (row: RoundDbRow): RoundText => ({ ...EMPTY_ROUND, ...row.fields });

export async function findRound(tx: ActorTx, memberId: string, roundId: string): Promise<RoundDbRow> {
  const row = (
    await tx
      .select()
      .from(rounds)
      .where(and(eq(rounds.memberId, memberId), eq(rounds.id, roundId)))
  )[0];
  if (!row) throw new AppError('NOT_FOUND');
  return row;
}

interface CaseLine {
  readonly practice_id: string;
  readonly referral_id: string;
  readonly number: number;
  readonly state: ReferralState;
  readonly clip_count: number;
  readonly arriving: number;
  readonly measurement_count: number;
  readonly has_report_draft: boolean;
  readonly report_signed: boolean;
  readonly group_name: string | null;
  readonly act_now: string[] | null;
  readonly [column: string]: unknown;
}

/** One query for all cases of a round: what is done of each is read, never stored twice. */
async function caseLines(tx: ActorTx, memberId: string, roundId: string): Promise<Map<string, CaseLine>> {
  const rows = await tx.execute<CaseLine>(sql`
    select v.practice_id, r.id as referral_id, r.number, r.state, r.clip_count,
           (select count(*)::int from arrivals a where a.practice_id = r.practice_id and a.referral_id = r.id
              and a.state in ('expected', 'arriving', 'arrived')) as arriving,
           (select count(*)::int from measurements m where m.practice_id = r.practice_id and m.referral_id = r.id
              and not m.withdrawn and not exists (select 1 from measurements n where n.practice_id = m.practice_id and n.supersedes_id = m.id)) as measurement_count,
           exists (select 1 from report_drafts d where d.practice_id = r.practice_id and d.referral_id = r.id) as has_report_draft,
           exists (select 1 from signed_reports s where s.practice_id = r.practice_id and s.referral_id = r.id and s.kind = 'report') as report_signed,
           (select g.name from reading_groups g where g.id = r.wanted_group_id) as group_name,
           (select array_agg(f->>'code') from (
              select i.result from interpretations i where i.practice_id = r.practice_id and i.referral_id = r.id
               order by i.position desc limit 1) newest, jsonb_array_elements(newest.result->'flags') f
             where f->>'level' = 'act-now') as act_now
      from round_visits v join referrals r on r.practice_id = v.practice_id and r.id = v.referral_id
     where v.member_id = ${memberId} and v.round_id = ${roundId}`);
  return new Map(rows.map((r) => [`${r.practice_id}:${r.referral_id}`, r]));
}

function toVisit(row: VisitDbRow, patientName: string | null, line: CaseLine | undefined): Visit {
  return {
    id: row.id,
    practiceId: row.practiceId,
    roundId: row.roundId,
    requestId: row.requestId,
    patientId: row.patientId,
    referralId: row.referralId,
    ...row.fields,
    patientName,
    case: line
      ? {
          number: line.number,
          state: line.state,
          clipCount: line.clip_count,
          arriving: line.arriving,
          measurementCount: line.measurement_count,
          hasReportDraft: line.has_report_draft,
          reportSigned: line.report_signed,
          groupName: line.group_name ?? '',
          actNow: line.act_now ?? [],
        }
      : null,
    revision: row.revision,
  };
}

/** Visits of one round in order. Those at a practice that one has left are not there: row-level security hides them. */
export async function visitsOf(tx: ActorTx, memberId: string, roundId: string): Promise<Visit[]> {
  const rows = await tx
    .select({
      v: roundVisits,
      name: sql<
        string | null
      >`(select p.name from patients p where p.practice_id = ${roundVisits.practiceId} and p.id = patient_root(${roundVisits.practiceId}, ${roundVisits.patientId}))`,
    })
    .from(roundVisits)
    .where(and(eq(roundVisits.memberId, memberId), eq(roundVisits.roundId, roundId)));
  const lines = await caseLines(tx, memberId, roundId);
  return rows
    .map(({ v, name }) => toVisit(v, name, lines.get(`${v.practiceId}:${v.referralId}`)))
    .sort((a, b) => a.position - b.position || a.id.localeCompare(b.id));
}

export async function loadRound(tx: ActorTx, memberId: string, roundId: string): Promise<Round> {
  const row = await findRound(tx, memberId, roundId);
  return {
    id: row.id,
    day: row.day,
    ...textOf(row),
    closedAt: row.closedAt?.toISOString() ?? null,
    revision: row.revision,
    visits: await visitsOf(tx, memberId, roundId),
  };
}

/** One's rounds, newest day first; at most a year's worth of days. */
export async function listRounds(tx: ActorTx, actor: Actor & { memberId: string }): Promise<RoundRow[]> {
  const rows = await tx
    .select()
    .from(rounds)
    .where(eq(rounds.memberId, actor.memberId))
    .orderBy(desc(rounds.day), desc(rounds.createdAt))
    .limit(260);
  const names = new Map(
    (await tx.execute<{ id: string; name: string }>(sql`select id, name from practices`)).map((p) => [
      p.id,
      p.name,
    ]),
  );
  const list: RoundRow[] = [];
  for (const row of rows) {
    const visits = await visitsOf(tx, actor.memberId, row.id);
    const practices = [...new Set(visits.map((v) => v.practiceId))];
    list.push({
      id: row.id,
      day: row.day,
      title: textOf(row).title,
      closedAt: row.closedAt?.toISOString() ?? null,
      visits: visits.length,
      done: visits.filter(isVisitDone).length,
      practices: practices.map((id) => names.get(id) ?? ''),
    });
  }
  return list;
}

/** Roles with which one scans. */
const SCANS = ['referring-vet', 'sonographer'];

/**
 * Patients whose name contains the words, or whose number or chip it is, across the practices in which the actor scans:
 * row-level security and this list both hold it to them. At most 60, most recently changed first.
 */
export async function findServed(tx: ActorTx, actor: Actor, find: string): Promise<FoundPatient[]> {
  const wanted = find.trim();
  const served = actor.memberships.flatMap((m) =>
    m.practiceId && SCANS.includes(m.role) ? [m.practiceId] : [],
  );
  if (wanted === '' || served.length === 0) return [];
  const digits = wanted.replace(/[\s.-]/g, '');
  const rows = await tx.execute<{
    practice_id: string;
    practice_name: string;
    id: string;
    number: number;
    name: string;
    species: FoundPatient['species'];
    breed_text: string;
    sex: FoundPatient['sex'];
    chip: string | null;
    birth_date: string | null;
    weight_kg: number | null;
    weighed_on: string | null;
    last_scanned_on: string | null;
  }>(sql`
    select p.practice_id, pr.name as practice_name, p.id, p.number, p.name, p.species, p.breed_text, p.sex, p.chip,
           to_char(p.birth_date, 'YYYY-MM-DD') as birth_date, w.weight_kg, to_char(w.weighed_on, 'YYYY-MM-DD') as weighed_on,
           to_char(s.scanned_on, 'YYYY-MM-DD') as last_scanned_on
      from patients p
      join practices pr on pr.id = p.practice_id
      left join lateral (select weight_kg, weighed_on from weights where practice_id = p.practice_id and patient_id = any(patient_family(p.practice_id, p.id))
                          order by weighed_on desc, created_at desc limit 1) w on true
      left join lateral (select scanned_on from scans where practice_id = p.practice_id and patient_id = any(patient_family(p.practice_id, p.id))
                          order by scanned_on desc limit 1) s on true
     where p.practice_id in ${served} and p.merged_into_id is null
       and (fold_text(p.name) like fold_text(${containing(wanted)}) or p.number::text = ${digits} or (p.chip is not null and replace(p.chip, ' ', '') = ${digits}))
     order by p.updated_at desc limit 60`);
  return rows.map((r) => ({
    practiceId: r.practice_id,
    practiceName: r.practice_name,
    patientId: r.id,
    number: r.number,
    name: r.name,
    species: r.species,
    breedText: r.breed_text,
    sex: r.sex,
    chip: r.chip,
    birthDate: r.birth_date,
    weightKg: r.weight_kg,
    weighedOn: r.weighed_on,
    lastScannedOn: r.last_scanned_on,
  }));
}
