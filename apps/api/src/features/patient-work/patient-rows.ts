import type { LikelyPair, PatientList, Sex, Species } from '@chordae/contract';
import { type SQL, sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { groupedBy } from '../../platform/grouped-by';
import { findPatientIds } from '../cases';
import { type Comparable, likelyPairs } from './likely-pairs';

/** More than this is no list that anybody reads. */
const MOST_ROWS = 5000;

interface Row extends Record<string, unknown> {
  id: string;
  number: number;
  name: string;
  species: Species;
  breed_text: string;
  sex: Sex;
  birth_date: string | null;
  keeper_name: string;
  keeper_phone: string;
}

/** The list of a practice's patients; three readings however many there are. */
export async function patientRows(tx: ActorTx, practiceId: string, find: string): Promise<PatientList> {
  const found = await findPatientIds(tx, practiceId, find, MOST_ROWS + 1);
  const shown = found.slice(0, MOST_ROWS);
  const standsFor = new Map(shown.flatMap((f) => f.family.map((id) => [id, f.id] as const)));
  if (standsFor.size === 0) return { rows: [], cut: false };
  // Without words all of the practice are wanted, and a list of their ids would only slow it down.
  const ids = `{${[...standsFor.keys()].join()}}`;
  const among = (column: SQL) => (find.trim() === '' ? sql`true` : sql`${column} = any(${ids}::uuid[])`);
  const people = await tx.execute<Row>(sql`
    select p.id, p.number, p.name, p.species, p.breed_text, p.sex, p.birth_date::text,
           coalesce(k.name, '') as keeper_name, coalesce(k.phone, '') as keeper_phone
      from patients p left join keepers k on k.practice_id = ${practiceId} and k.patient_id = p.id
     where p.practice_id = ${practiceId} and ${among(sql`p.id`)}`);
  const weighed = await tx.execute<{
    patient_id: string;
    weight_kg: number;
    guessed: boolean;
    key: number;
  }>(sql`
    select distinct on (patient_id) patient_id, weight_kg, guessed, ((weighed_on - date '2000-01-01') * 1e10 + extract(epoch from created_at))::float8 as key
      from weights where practice_id = ${practiceId} and ${among(sql`patient_id`)}
     order by patient_id, weighed_on desc, created_at desc, id desc`);
  const scanned = await tx.execute<{ patient_id: string; last: string; n: number }>(sql`
    select patient_id, max(scanned_on)::text as last, count(*)::int as n from scans
     where practice_id = ${practiceId} and ${among(sql`patient_id`)} group by patient_id`);
  const byId = new Map(people.map((p) => [p.id, p]));
  const root = (id: string) => standsFor.get(id) ?? id;
  const weights = groupedBy(weighed, (w) => root(w.patient_id));
  const scans = groupedBy(scanned, (s) => root(s.patient_id));
  const rows = shown.flatMap(({ id, family }) => {
    const p = byId.get(id);
    if (!p) return [];
    const weight = (weights.get(id) ?? []).reduce<(typeof weighed)[number] | null>(
      (best, w) => (best === null || w.key > best.key ? w : best),
      null,
    );
    const own = scans.get(id) ?? [];
    return [
      {
        id,
        number: p.number,
        name: p.name,
        species: p.species,
        breedText: p.breed_text,
        sex: p.sex,
        birthDate: p.birth_date,
        weightKg: weight?.weight_kg ?? null,
        weightGuessed: weight?.guessed ?? false,
        keeperName: p.keeper_name,
        keeperPhone: p.keeper_phone,
        lastScanOn:
          own
            .map((s) => s.last)
            .sort()
            .at(-1) ?? null,
        scans: own.reduce((sum, s) => sum + s.n, 0),
        mergedFrom: family.flatMap((f) => {
          const m = f === id ? undefined : byId.get(f);
          return m ? [{ id: m.id, number: m.number, name: m.name }] : [];
        }),
      },
    ];
  });
  return { rows, cut: found.length > MOST_ROWS };
}

/** Pairs of standing patients that may be the same animal; with `patientId` only those in which it stands. */
export async function pairsOf(tx: ActorTx, practiceId: string, patientId?: string): Promise<LikelyPair[]> {
  const rows = await tx.execute<{
    id: string;
    number: number;
    name: string;
    folded: string;
    species: Species;
    sex: Sex;
    birth_date: string | null;
    birth_precision: Comparable['birthPrecision'];
    chip: string;
    keeper_name: string;
    keeper_phone: string;
  }>(sql`
    select p.id, p.number, p.name, fold_text(btrim(p.name)) as folded, p.species, p.sex, p.birth_date::text, p.birth_precision,
           upper(regexp_replace(coalesce(p.chip, ''), '[^0-9A-Za-z]', '', 'g')) as chip,
           fold_text(btrim(coalesce(k.name, ''))) as keeper_name, regexp_replace(coalesce(k.phone, ''), '[^0-9]', '', 'g') as keeper_phone
      from patients p left join keepers k on k.practice_id = p.practice_id and k.patient_id = p.id
     where p.practice_id = ${practiceId} and p.merged_into_id is null order by p.number`);
  const all = rows.map((r) => ({
    id: r.id,
    number: r.number,
    name: r.name,
    folded: r.folded,
    species: r.species,
    sex: r.sex,
    birthDate: r.birth_date,
    birthPrecision: r.birth_precision,
    chip: r.chip,
    keeperName: r.keeper_name,
    keeperPhone: r.keeper_phone,
  }));
  const pairs = likelyPairs(all);
  return patientId ? pairs.filter((p) => p.one.id === patientId || p.other.id === patientId) : pairs;
}
