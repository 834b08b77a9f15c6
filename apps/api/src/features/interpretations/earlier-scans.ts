import type { EarlierScan, InterpretationInput } from '@chordae/contract';
import { sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';

/**
 * Scans of the same patient, also under an id that was merged, in other referrals of the practice that the viewer may see (row-level security decides: the
 * reading group sees what was sent to it), oldest first. A draft is no earlier scan.
 */
export async function earlierScans(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<EarlierScan[]> {
  const rows = await tx.execute<{
    id: string;
    number: number;
    scanned_on: string;
    operator: string;
    input: InterpretationInput;
  }>(sql`
    select other.id, other.number, to_char(scan.scanned_on, 'YYYY-MM-DD') as scanned_on, scan.operator, newest.input
      from referrals this
      join referrals other on other.practice_id = this.practice_id
       and other.patient_id = any(patient_family(this.practice_id, this.patient_id))
       and other.id <> this.id and other.state not in ('draft') and other.withdrawn_at is null
      join lateral (select i.input from interpretations i
                     where i.practice_id = other.practice_id and i.referral_id = other.id
                     order by i.position desc limit 1) newest on true
      join lateral (select s.scanned_on, s.operator from scans s
                      join scan_referrals sr on sr.practice_id = s.practice_id and sr.scan_id = s.id
                     where sr.practice_id = other.practice_id and sr.referral_id = other.id
                     order by s.scanned_on desc limit 1) scan on true
     where this.practice_id = ${practiceId} and this.id = ${referralId}
       and scan.scanned_on <= coalesce((select max(s.scanned_on) from scans s
             join scan_referrals sr on sr.practice_id = s.practice_id and sr.scan_id = s.id
            where sr.practice_id = this.practice_id and sr.referral_id = this.id), 'infinity'::date)
     order by scan.scanned_on, other.number limit 50`);
  return rows.map((r) => ({
    referralId: r.id,
    number: r.number,
    scannedOn: r.scanned_on,
    operator: r.operator === '' ? null : r.operator,
    input: r.input,
  }));
}
