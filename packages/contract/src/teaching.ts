import { z } from 'zod';
import { id, moment } from './ids';
import { species, viewId } from './terms';

/** `usual`: how it should look; `error`: something to avoid; `changed`: a diseased heart in this view. */
export const shelfKinds = ['usual', 'error', 'changed'] as const;
export const shelfKind = z.enum(shelfKinds);
export type ShelfKind = z.infer<typeof shelfKind>;

/** A clip on the teaching shelf. Nothing in it says whose animal it was, where, or when. */
export const shelfClip = z.object({
  groupId: id,
  id,
  view: viewId,
  kind: shelfKind,
  title: z.string(),
  words: z.string(),
  species,
  /** A breed of the list; free text stays away, since it may hold a name. */
  breedText: z.string(),
  weightKg: z.number().nullable(),
  ageMonths: z.int().nullable(),
  frameCount: z.int(),
  /** From an invented demonstration: the page says so. */
  demo: z.boolean(),
});
export type ShelfClip = z.infer<typeof shelfClip>;

export const shelfEntry = z.object({
  practiceId: id,
  referralId: id,
  clipId: id,
  view: viewId,
  kind: shelfKind,
  title: z.string().trim().min(1, 'title must not be empty').max(120),
  words: z.string().trim().max(1000),
  /** The person who adds it has looked: no name, number or date stands in the picture. */
  nothingNamed: z.literal(
    true,
    'nothingNamed: look at the picture and say that no name, number or date stands in it',
  ),
});

/** Whether a case may be used for teaching, and what of it is on the shelf. */
export const teachingState = z.object({
  /** null where the practice has not given its consent, or has taken it back. */
  consent: z.object({ by: z.string(), at: moment }).nullable(),
  onShelf: z.array(shelfClip.extend({ clipId: id })),
});
export type TeachingState = z.infer<typeof teachingState>;
