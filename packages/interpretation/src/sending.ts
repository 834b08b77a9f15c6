import type { SendingPreview, Urgency } from '@chordae/contract';
import { urgencyRank } from './urgency';

/** What sending looks at of a case, on a server and on a device without a network alike. */
export interface BeforeSending {
  readonly question: string;
  /** Clips that were read. */
  readonly clips: readonly {
    readonly number: number;
    readonly fileName: string | null;
    readonly mask: string;
  }[];
  /** Files that are known and not read yet. */
  readonly filesOnTheWay: number;
  readonly measurements: number;
  readonly observations: number;
}

/** What keeps a draft from being sent; empty when nothing does. Without clips, numbers and answers: NOTHING_TO_READ. */
export function sendingBlockers(of: BeforeSending): SendingPreview['blockers'] {
  const blockers: SendingPreview['blockers'] = [];
  const nothing = of.clips.length + of.filesOnTheWay + of.measurements + of.observations === 0;
  if (nothing) blockers.push({ code: 'NOTHING_TO_READ', field: 'clips', data: {} });
  if (of.question.trim() === '') blockers.push({ code: 'QUESTION_MISSING', field: 'question', data: {} });
  for (const { number, fileName, mask } of of.clips)
    if (mask === 'needs-decision')
      blockers.push({ code: 'MASK_UNDECIDED', field: 'clips', data: { number, fileName: fileName ?? '' } });
  return blockers;
}

/** The higher of asked and proposed stands; lowering needs a reason. */
export function urgencyThatStands(asked: Urgency | null, proposed: Urgency, reason: string): Urgency {
  if (asked === null) return proposed;
  if (urgencyRank[asked] <= urgencyRank[proposed]) return asked;
  return reason.trim() === '' ? proposed : asked;
}
