import type { CaseView } from '@chordae/contract';
import { pathOf } from '../host/api';

/** Where the frames of a clip of a case are fetched. */
export function packUrl(c: CaseView, clipId: string): string {
  return pathOf('clipPack', { practiceId: c.referral.practiceId, referralId: c.referral.id, clipId });
}
