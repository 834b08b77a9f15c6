import type { ReferralState, Visit } from '@chordae/contract';

/** Case states after which the sonographer has nothing left to do about a visit. */
const FINISHED: readonly ReferralState[] = [
  'reported',
  'filed',
  'sent',
  'reading',
  'answered',
  'closed',
  'withdrawn',
];

/** Done: reported or sent with every file in, or said not to be scanned. */
export function isVisitDone(visit: Pick<Visit, 'notScanned' | 'case'>): boolean {
  if (visit.notScanned !== null) return true;
  return visit.case !== null && visit.case.arriving === 0 && FINISHED.includes(visit.case.state);
}
