import { type CaseView, isUnsent } from '@chordae/contract';
import { sayReferralNumber } from '@chordae/words';

/** A case in one line: 'Referral 12, Example Practice to Example Readers', or a scan that nobody is asked about. */
export function sayCase(
  r: Pick<CaseView['referral'], 'number' | 'practiceName' | 'groupName' | 'groupId' | 'state'>,
): string {
  const reported = r.state !== 'draft' && isUnsent(r.state);
  return r.groupId === null || reported
    ? `${sayReferralNumber(r.number, 'Scan report')}, ${r.practiceName}`
    : `${sayReferralNumber(r.number)}, ${r.practiceName} to ${r.groupName}`;
}
