const STATES: Record<string, { name: string; sentence: string }> = {
  draft: { name: 'draft', sentence: 'Not sent yet: only your practice sees it.' },
  reported: { name: 'reported', sentence: 'The scan report is signed; the practice has not filed it yet.' },
  filed: { name: 'filed', sentence: 'The practice has read the scan report and filed it.' },
  sent: { name: 'sent', sentence: 'It waits for a reader.' },
  reading: { name: 'being read', sentence: 'A cardiologist has it open.' },
  'images-wanted': {
    name: 'images wanted',
    sentence: 'The reader asks for more clips; the clock stands still until they come.',
  },
  answered: { name: 'answered', sentence: 'The opinion is signed; only addenda can follow.' },
  closed: { name: 'closed', sentence: 'Nothing more is expected.' },
  withdrawn: { name: 'withdrawn', sentence: 'The practice took it back.' },
};

/** Name and sentence of a referral's state. */
export function sayReferralState(state: string): { name: string; sentence: string } {
  return STATES[state] ?? { name: state, sentence: `State: ${state}.` };
}

/** Answers to what became of a patient. */
export const outcomeNames = {
  'as-expected': 'As the opinion expected',
  'plan-changed': 'The plan was changed',
  'something-else-found': 'Something else was found',
  died: 'Died or was put to sleep',
  'not-known': 'Not known',
} as const;
