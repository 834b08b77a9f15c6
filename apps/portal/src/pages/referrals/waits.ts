import type { ReferralRow, ReferralState, Role } from '@chordae/contract';

export type WaitsOn = 'you' | 'practice' | 'readers' | 'nobody';

const WAITS: Record<ReferralState, WaitsOn> = {
  draft: 'you',
  reported: 'practice',
  filed: 'nobody',
  'images-wanted': 'you',
  answered: 'you',
  sent: 'readers',
  reading: 'readers',
  closed: 'nobody',
  withdrawn: 'nobody',
};

/**
 * On whom a referral waits. A signed scan report waits for a vet or a manager: for these it is 'you'; a question about it
 * waits for who scanned.
 */
export function waitsOn(row: Pick<ReferralRow, 'state' | 'reportTalk'>, roles: readonly Role[]): WaitsOn {
  const waits = WAITS[row.state];
  const reads = roles.some((r) => r === 'referring-vet' || r === 'manager');
  if (isReport(row.state) && row.reportTalk === 'practice' && !reads) return 'you';
  return waits === 'practice' && reads ? 'you' : waits;
}

/** Is it a scan report that was sent to nobody. */
export function isReport(state: ReferralState): boolean {
  return state === 'reported' || state === 'filed';
}

/** What happens next with a referral, in words. */
export function sayWaiting(
  row: Pick<ReferralRow, 'state' | 'readerName' | 'groupName' | 'reportTalk'>,
): string {
  const reader = row.readerName ?? 'a cardiologist';
  if (isReport(row.state) && row.reportTalk === 'practice')
    return 'The practice asks something about the scan report.';
  switch (row.state) {
    case 'draft':
      return row.groupName === '' ? 'Draft: scan report not signed yet.' : 'Draft: not sent yet.';
    case 'reported':
      return 'Scan report signed: to be read and filed by the practice.';
    case 'filed':
      return 'Scan report read and filed.';
    case 'images-wanted':
      return `${row.readerName ?? 'The reader'} asks for more clips.`;
    case 'answered':
      return 'Opinion signed: read it, then close the referral.';
    case 'sent':
      return `Sent: waits for ${row.groupName}.`;
    case 'reading':
      return `${reader} is reading it.`;
    case 'closed':
      return 'Closed.';
    default:
      return 'Withdrawn.';
  }
}
