import type { Likeness, TimelineEntry } from '@chordae/contract';
import { planNames } from './names';
import { outcomeNames } from './referral-states';

interface Named {
  readonly number: number;
  readonly name: string;
}

const named = (p: Named): string => `${p.name}, number ${p.number}`;

/** Why two patients look like one. */
export const likenessWords: Record<Likeness, string> = {
  chip: 'the same chip number',
  birth: 'the same name and a birth date close by',
  'keeper-phone': 'the same name and the same telephone of the keeper',
  'keeper-name': 'the same name and the same name of the keeper',
};

/** A change of a patient that was merged. */
export function sayMergedElsewhere(merged: Named, stands: Named): string {
  return `${named(merged)}, was merged into ${named(stands)}. Change it there, or undo the merge first.`;
}

export type MergeRefusal =
  | { readonly why: 'same-patient' }
  | { readonly why: 'other-species'; readonly from: string; readonly into: string }
  | { readonly why: 'already-merged'; readonly patient: Named }
  | { readonly why: 'with-readers'; readonly patient: Named; readonly referralNumber: number }
  | { readonly why: 'undone-already' }
  | { readonly why: 'merged-on'; readonly patient: Named };

/** Why two patients are not merged, or a merge not undone, and what to do about it. */
export function sayMergeRefusal(refusal: MergeRefusal): string {
  switch (refusal.why) {
    case 'same-patient':
      return 'These are one patient already. Choose another one to merge with.';
    case 'other-species':
      return `One is a ${refusal.from} and the other a ${refusal.into}: they cannot be the same animal. Where a species is written wrongly, put it right first.`;
    case 'already-merged':
      return `${named(refusal.patient)}, was merged before. Choose the patient that stands, or undo that merge first.`;
    case 'with-readers':
      return `${named(refusal.patient)}, is with its readers in referral ${refusal.referralNumber}: its name must not change under their hands. Keep this one and put the other away, or wait for the answer.`;
    case 'undone-already':
      return 'This merge was undone already. Reload the page to see both patients.';
    case 'merged-on':
      return `${named(refusal.patient)}, was itself merged since. Undo that merge first.`;
  }
}

/** What an entry of a patient's history is, in few words. */
export function sayTimelineKind(entry: TimelineEntry): string {
  const clips = entry.clips === null ? '' : `, ${entry.clips} ${entry.clips === 1 ? 'clip' : 'clips'}`;
  switch (entry.kind) {
    case 'scan':
      return `Scan${clips}`;
    case 'rescan':
      return `Scanned again${clips}`;
    case 'referral':
      return `Referral sent${entry.plan ? `: ${planNames[entry.plan]}` : ''}`;
    case 'report':
      return 'Scan report signed';
    case 'report-addendum':
      return 'Addendum to the scan report';
    case 'opinion':
      return 'Opinion signed';
    case 'addendum':
      return 'Addendum to the opinion';
    case 'outcome':
      return `What became of it: ${outcomeNames[entry.words as keyof typeof outcomeNames] ?? entry.words}`;
    case 'recheck':
      return 'To be looked at again';
  }
}
