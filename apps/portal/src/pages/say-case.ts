import { type CaseView, isUnsent } from '@chordae/contract';

/** A case in one line: 'Referral 12, Example Practice to Example Readers', or a scan that nobody is asked about. */
export function sayCase(
  r: Pick<CaseView['referral'], 'number' | 'practiceName' | 'groupName' | 'groupId' | 'state'>,
): string {
  const reported = r.state !== 'draft' && isUnsent(r.state);
  return r.groupId === null || reported
    ? `Scan report ${r.number}, ${r.practiceName}`
    : `Referral ${r.number}, ${r.practiceName} to ${r.groupName}`;
}
