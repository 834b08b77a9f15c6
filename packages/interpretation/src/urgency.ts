import type { Flag, Urgency } from '@chordae/contract';

/** Place of an urgency, most urgent first: `urgencyRank.emergency` is 0. */
export const urgencyRank: Readonly<Record<Urgency, number>> = { emergency: 0, urgent: 1, routine: 2 };

/** The higher of two urgencies. `higherUrgency('urgent', 'routine')` is 'urgent'. */
export function higherUrgency(a: Urgency, b: Urgency): Urgency {
  return urgencyRank[a] <= urgencyRank[b] ? a : b;
}

/** Proposed urgency: the highest that any flag asks for, with the codes of the flags that ask for it. */
export function proposedUrgency(flags: readonly Flag[]): { urgency: Urgency; because: string[] } {
  let urgency: Urgency = 'routine';
  for (const flag of flags) if (flag.urgency) urgency = higherUrgency(urgency, flag.urgency);
  const because = [
    ...new Set(flags.filter((f) => f.urgency === urgency && urgency !== 'routine').map((f) => f.code)),
  ];
  return { urgency, because: because.length > 0 ? because : ['NO_RULE_RAISED_IT'] };
}
