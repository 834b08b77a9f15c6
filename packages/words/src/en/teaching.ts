import type { ShelfKind } from '@chordae/contract';

export const shelfKindNames: Record<ShelfKind, string> = {
  usual: 'As it should look',
  error: 'A thing to avoid',
  changed: 'A changed heart in this view',
};

export const CONSENT_MISSING =
  'The practice has not given its consent to teaching with this case, or has taken it back. Ask it on the case.';
export const NOT_ANSWERED_YET = 'A case can be given for teaching once it is answered.';
export const CLIP_NOT_READY = 'clipId: this clip has no masked copy to show. Choose another one.';

/** What consent means, before it is given. */
export const CONSENT_MEANS: readonly string[] = [
  'The readers may put single clips of this case on their teaching shelf: seen by them and by the practices they read for.',
  'Only species, breed, age and weight stand beside a clip. No name, number, date, practice or keeper goes along, and the picture is the masked one.',
  'Consent can be taken back at any time: the clips then leave the shelf at once.',
];
