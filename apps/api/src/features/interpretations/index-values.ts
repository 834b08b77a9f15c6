import type { IndexValue, Species } from '@chordae/contract';
import { sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';

/** Each patient's newest value of one index at this practice, where a weight is known: for drawing them over a limit. */
export async function indexValues(
  tx: ActorTx,
  practiceId: string,
  species: Species,
  index: string,
): Promise<IndexValue[]> {
  const rows = await tx.execute<{
    id: string;
    number: number;
    value: number;
    unit: string;
    weight_kg: number;
  }>(sql`
    select distinct on (stands.id) r.id, r.number, (found->>'value')::float8 as value, found->>'unit' as unit,
           (newest.input->'patient'->'weight'->>'kg')::float8 as weight_kg
      from referrals r
      cross join lateral (select patient_root(r.practice_id, r.patient_id) as id) stands
      join lateral (select i.input, i.result, i.position from interpretations i
                     where i.practice_id = r.practice_id and i.referral_id = r.id
                     order by i.position desc limit 1) newest on true
      cross join lateral jsonb_array_elements(newest.result->'indices') found
     where r.practice_id = ${practiceId} and r.withdrawn_at is null
       and newest.input->'patient'->>'species' = ${species} and found->>'code' = ${index}
       and newest.input->'patient'->'weight'->>'kg' is not null
     order by stands.id, newest.position desc limit 2000`);
  return rows.map((r) => ({
    referralId: r.id,
    number: r.number,
    value: r.value,
    unit: r.unit,
    weightKg: r.weight_kg,
  }));
}
