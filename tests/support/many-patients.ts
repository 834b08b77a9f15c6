import type postgres from 'postgres';

/** Words from which invented names are made. */
const NAMES = [
  'Wren',
  'Rook',
  'Tern',
  'Zoë',
  'Bracken',
  'Sorrel',
  'Hazel',
  'Ivy',
  'Moss',
  'Reed',
  'Teasel',
  'Sedge',
  'Clover',
  'Linnet',
  'Plover',
  'Fern',
];
const KEEPERS = [
  'Marsh',
  'Holm',
  'Quillfeather',
  'Brook',
  'Thornby',
  'Ó Sruth',
  'Ferncastle',
  'Wold',
  'Lea',
  'Heath',
];

/**
 * A practice as it is after years: `patients` patients with keeper and three weights each, and `scans` scans in as many
 * answered cases. Straight into the database, since the API would take minutes for it.
 */
export async function manyPatients(
  admin: postgres.Sql,
  practiceId: string,
  memberId: string,
  counts: { patients: number; scans: number },
): Promise<void> {
  const { patients, scans } = counts;
  await admin`create temp table made as
    select n, gen_random_uuid() as id, (select next_patient_number from practices where id = ${practiceId}) + n as number
      from generate_series(1, ${patients}) n`;
  await admin`insert into patients (practice_id, id, number, name, species, breed_text, sex, birth_date, birth_precision, chip, created_by, updated_at)
    select ${practiceId}, id, number, (${NAMES}::text[])[1 + n % ${NAMES.length}] || ' ' || n, case when n % 3 = 0 then 'cat' else 'dog' end,
           case when n % 3 = 0 then 'Domestic Shorthair' else 'mixed' end, case when n % 2 = 0 then 'female' else 'male' end,
           date '2014-01-01' + n, 'day', (276098100000000 + n)::text, ${memberId}, now() - n * interval '1 minute' from made`;
  await admin`insert into keepers (practice_id, patient_id, name, phone)
    select ${practiceId}, id, 'Invented ' || (${KEEPERS}::text[])[1 + n % ${KEEPERS.length}], '+353 1 ' || lpad((n * 7919 % 10000000)::text, 7, '0') from made`;
  await admin`insert into weights (practice_id, id, patient_id, weight_kg, as_typed, guessed, weighed_on, created_by)
    select ${practiceId}, gen_random_uuid(), id, 3 + n % 30 + k * 0.2, '', k = 2, date '2025-01-01' + k * 90, ${memberId} from made, generate_series(1, 3) k`;
  await admin`create temp table made_cases as
    select s, gen_random_uuid() as referral_id, gen_random_uuid() as scan_id, m.id as patient_id,
           (select next_referral_number from practices where id = ${practiceId}) + s as number
      from generate_series(1, ${scans}) s join made m on m.n = 1 + s % ${patients}`;
  await admin`insert into scans (practice_id, id, patient_id, scanned_on, operator, state, created_by)
    select ${practiceId}, scan_id, patient_id, date '2020-01-01' + s / 10, 'Sonographer', '{}', ${memberId} from made_cases`;
  await admin`insert into referrals (practice_id, id, patient_id, number, state, plan, created_by)
    select ${practiceId}, referral_id, patient_id, number, 'filed', 'follow-up', ${memberId} from made_cases`;
  await admin`insert into scan_referrals (practice_id, scan_id, referral_id, position) select ${practiceId}, scan_id, referral_id, 1 from made_cases`;
  await admin`update practices set next_patient_number = next_patient_number + ${patients} + 1, next_referral_number = next_referral_number + ${scans} + 1 where id = ${practiceId}`;
  await admin`drop table made_cases`;
  await admin`drop table made`;
  await admin`analyze`;
}
