import { z } from 'zod';

export const referralState = z.enum([
  'draft',
  'reported',
  'filed',
  'sent',
  'reading',
  'images-wanted',
  'answered',
  'closed',
  'withdrawn',
]);
export type ReferralState = z.infer<typeof referralState>;

/** Events that move a referral. Everything else that happens to it is an event without a move. */
export const referralMove = z.enum([
  'report.signed',
  'report.filed',
  'referral.sent',
  'referral.taken',
  'referral.put-back',
  'referral.handed-over',
  'referral.images-wanted',
  'referral.images-sent',
  'referral.answered',
  'referral.closed',
  'referral.withdrawn',
]);
export type ReferralMove = z.infer<typeof referralMove>;

/** The published transition table: from state, by event, to state. A pair that is not here is refused. */
export const transitions: Record<ReferralState, Partial<Record<ReferralMove, ReferralState>>> = {
  draft: { 'report.signed': 'reported', 'referral.sent': 'sent', 'referral.withdrawn': 'withdrawn' },
  // A sonographer's own scan report is signed. It may be passed up to a cardiologist at any later time.
  reported: { 'report.filed': 'filed', 'referral.sent': 'sent' },
  filed: { 'referral.sent': 'sent' },
  sent: { 'referral.taken': 'reading', 'referral.withdrawn': 'withdrawn' },
  reading: {
    'referral.put-back': 'sent',
    // Handed to somebody: it waits for that person, and anybody may take it.
    'referral.handed-over': 'sent',
    'referral.images-wanted': 'images-wanted',
    'referral.answered': 'answered',
    'referral.withdrawn': 'withdrawn',
  },
  'images-wanted': {
    'referral.images-sent': 'reading',
    // The reader is gone: it goes back into the queue instead of waiting for nobody.
    'referral.put-back': 'sent',
    'referral.handed-over': 'sent',
    'referral.answered': 'answered',
    'referral.withdrawn': 'withdrawn',
  },
  answered: { 'referral.closed': 'closed' },
  closed: {},
  withdrawn: {},
};

/** States in which clips, numbers and answers may still come: before anything was signed on them. */
export const takingStates = [
  'draft',
  'sent',
  'reading',
  'images-wanted',
] as const satisfies readonly ReferralState[];

/** States before a case is sent: its question, reading group and urgency may still be written. */
export const unsentStates = ['draft', 'reported', 'filed'] as const satisfies readonly ReferralState[];

/** Has it not been sent yet. `isUnsent('reported')` is true. */
export function isUnsent(state: string): boolean {
  return (unsentStates as readonly string[]).includes(state);
}

/** States in which a referral is with the reading group and not answered yet. */
export const withReadersStates = [
  'sent',
  'reading',
  'images-wanted',
] as const satisfies readonly ReferralState[];

/** May something still be added. `isTaking('answered')` is false. */
export function isTaking(state: string): boolean {
  return (takingStates as readonly string[]).includes(state);
}

/** May a clip still be made of a file that arrives: also after a scan report was signed, since files follow behind it. */
export function takesClips(state: string): boolean {
  return isTaking(state) || isUnsent(state);
}

/** Does the reading group have it, unanswered. `isWithReaders('draft')` is false. */
export function isWithReaders(state: string): boolean {
  return (withReadersStates as readonly string[]).includes(state);
}

/** Next state, or null when the table does not allow the move. `nextState('sent', 'referral.taken')` is 'reading'. */
export function nextState(from: ReferralState, move: ReferralMove): ReferralState | null {
  return transitions[from][move] ?? null;
}

/** Folds a list of moves from `draft`; null when one of them was not allowed. */
export function foldMoves(moves: readonly ReferralMove[]): ReferralState | null {
  let state: ReferralState | null = 'draft';
  for (const move of moves) {
    if (state === null) return null;
    state = nextState(state, move);
  }
  return state;
}
