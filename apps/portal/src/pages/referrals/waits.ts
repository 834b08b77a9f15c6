import type { ReferralRow, ReferralState } from '@chordae/contract';

export type WaitsOn = 'you' | 'readers' | 'nobody';

const WAITS: Record<ReferralState, WaitsOn> = {
  draft: 'you',
  reported: 'nobody',
  filed: 'nobody',
  'images-wanted': 'you',
  answered: 'you',
  sent: 'readers',
  reading: 'readers',
  closed: 'nobody',
  withdrawn: 'nobody',
};

/** On whom a referral waits. */
export function waitsOn(state: ReferralState): WaitsOn {
  return WAITS[state];
}

/** What happens next with a referral, in words. */
export function sayWaiting(row: Pick<ReferralRow, 'state' | 'readerName' | 'groupName'>): string {
  const reader = row.readerName ?? 'a cardiologist';
  switch (row.state) {
    case 'draft':
      return 'Draft: not sent yet.';
    case 'reported':
      return 'Scan report signed: the practice reads and files it.';
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
