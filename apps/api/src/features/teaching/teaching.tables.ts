import type { ClipDescription, ShelfKind, Species, ViewId } from '@chordae/contract';
import { bigint, doublePrecision, integer, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const teachingConsents = pgTable('teaching_consents', {
  practiceId: uuid('practice_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  groupId: uuid('group_id'),
  givenBy: uuid('given_by').notNull(),
  givenByName: text('given_by_name').notNull(),
  givenAt: at('given_at').notNull().defaultNow(),
  withdrawnAt: at('withdrawn_at'),
});

/** What everybody whom the group serves may see: nothing here says where it came from. */
export const teachingClips = pgTable('teaching_clips', {
  groupId: uuid('group_id').notNull(),
  id: uuid('id').notNull(),
  view: text('view').$type<ViewId>().notNull(),
  kind: text('kind').$type<ShelfKind>().notNull(),
  title: text('title').notNull(),
  words: text('words').notNull(),
  species: text('species').$type<Species>().notNull(),
  breedText: text('breed_text').notNull().default(''),
  weightKg: doublePrecision('weight_kg'),
  ageMonths: integer('age_months'),
  storageKey: text('storage_key').notNull(),
  sizeBytes: bigint('size_bytes', { mode: 'number' }).notNull(),
  sha256: text('sha256').notNull(),
  description: jsonb('description')
    .$type<Pick<ClipDescription, 'kind' | 'widthPx' | 'heightPx' | 'frameCount'>>()
    .notNull(),
  addedByName: text('added_by_name').notNull(),
  addedAt: at('added_at').notNull().defaultNow(),
  withdrawnAt: at('withdrawn_at'),
});

/** Where a clip on the shelf came from: for the group and the practice it came from, for nobody else. */
export const teachingSources = pgTable('teaching_sources', {
  groupId: uuid('group_id').notNull(),
  teachingId: uuid('teaching_id').notNull(),
  practiceId: uuid('practice_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  clipId: uuid('clip_id').notNull(),
});
