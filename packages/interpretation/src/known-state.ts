import type { StateAtScan } from '@chordae/contract';

const NOTHING_ASKED: StateAtScan = {
  sedative: null,
  sedativeAt: null,
  diuretic24h: null,
  fluids24h: null,
  hydration: null,
  rhythm: null,
  posture: null,
  bodyCondition: null,
  ascites: null,
  heartDrugs: null,
};

/**
 * What is known of the state at scan over all scans of a case, oldest first: the newest answer given to each question.
 * A rescan that has not been asked yet hides nothing that the first scan said:
 * `knownState([{state: {…, sedative: 'alpha-2'}}, {state: {…, sedative: null}}]).sedative` is 'alpha-2'.
 */
export function knownState(scans: readonly { readonly state: StateAtScan }[]): StateAtScan {
  const known: Record<string, unknown> = { ...NOTHING_ASKED };
  for (const { state } of scans) {
    // Which views could not be had is no question about the animal: the views themselves say it.
    for (const [question, answer] of Object.entries(state))
      if (answer !== null && question !== 'notPossible') known[question] = answer;
  }
  return known as StateAtScan;
}
