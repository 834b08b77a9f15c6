import { type SQL, sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { containing } from '../../platform/db/like';

export interface FoundPatient {
  /** The patient that stands. */
  readonly id: string;
  /** Its own id and those of the patients that were merged with it. */
  readonly family: readonly string[];
}

/**
 * Patients in whom every word is found: in the name, the breed, the keeper's name, as number, as (beginning of the) chip, or
 * as digits of the keeper's telephone. Words of a patient that was merged find the one it was merged into. Accents and case
 * do not count. The ones changed last come first.
 */
export async function findPatientIds(
  tx: ActorTx,
  practiceId: string,
  find: string,
  most: number,
): Promise<FoundPatient[]> {
  const words = wordsOf(find);
  const rows = await tx.execute<{ id: string; family: string[] }>(sql`
    with recursive stands as (
      select id, id as root from patients where practice_id = ${practiceId} and merged_into_id is null
      union all
      select p.id, s.root from stands s join patients p on p.practice_id = ${practiceId} and p.merged_into_id = s.id),
    seen as (
      select s.root, s.id, p.number, p.updated_at, regexp_replace(coalesce(p.chip, ''), '[^0-9A-Za-z]', '', 'g') as chip,
             fold_text(concat_ws(' ', p.name, p.breed_text, k.name)) as words,
             regexp_replace(coalesce(k.phone, ''), '[^0-9]', '', 'g') as phone
        from stands s join patients p on p.practice_id = ${practiceId} and p.id = s.id
        left join keepers k on k.practice_id = ${practiceId} and k.patient_id = s.id)
    select root as id, array_agg(id) as family from seen
     group by root ${words.length === 0 ? sql`` : sql`having ${sql.join(words.map(foundIn), sql` and `)}`}
     order by max(updated_at) filter (where id = root) desc, root limit ${most}`);
  return rows.map((r) => ({ id: r.id, family: r.family }));
}

/** A telephone or chip number may be typed in pieces: it stays one word. */
function wordsOf(find: string): string[] {
  const pieces = find.trim().split(/\s+/).filter(Boolean);
  const joined = pieces.join('');
  if (/^[0-9+()/.-]+$/.test(joined) && joined.replace(/[^0-9]/g, '').length >= PHONE_DIGITS) return [joined];
  return pieces.slice(0, 8);
}

/** Digits that are long enough to be a piece of a telephone number, however it is spaced. */
const PHONE_DIGITS = 5;

function foundIn(word: string): SQL {
  const ways = [sql`words like fold_text(${containing(word)})`];
  if (/^[0-9]{1,9}$/.test(word)) ways.push(sql`number = ${Number(word)}`);
  if (/^[0-9a-z]{4,}$/i.test(word)) ways.push(sql`starts_with(chip, ${word})`);
  const digits = word.replace(/[^0-9]/g, '');
  if (digits.length >= PHONE_DIGITS && /^[0-9+()/.-]+$/.test(word))
    ways.push(sql`phone like ${`%${digits.replace(/^0/, '')}%`}`);
  return sql`bool_or(${sql.join(ways, sql` or `)})`;
}
