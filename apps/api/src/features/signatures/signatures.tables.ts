import type { OpinionText } from '@chordae/contract';
import { bigint, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const signedOpinions = pgTable('signed_opinions', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  kind: text('kind').$type<'opinion' | 'addendum'>().notNull(),
  fields: jsonb('fields').$type<OpinionText>().notNull(),
  canonicalText: text('canonical_text').notNull(),
  sha256: text('sha256').notNull(),
  signerId: uuid('signer_id').notNull(),
  signerName: text('signer_name').notNull(),
  signedAt: at('signed_at').notNull(),
  inputs: jsonb('inputs').notNull(),
  engineVersion: text('engine_version').notNull(),
});

export const opinionPdfs = pgTable('opinion_pdfs', {
  practiceId: uuid('practice_id').notNull(),
  signedId: uuid('signed_id').notNull(),
  groupId: uuid('group_id').notNull(),
  storageKey: text('storage_key').notNull(),
  sha256: text('sha256').notNull(),
  sizeBytes: bigint('size_bytes', { mode: 'number' }).notNull(),
  createdAt: at('created_at').notNull().defaultNow(),
});

/** The page for the keeper goes out only when a vet of the practice released it. */
export const keeperReleases = pgTable('keeper_releases', {
  practiceId: uuid('practice_id').notNull(),
  signedId: uuid('signed_id').notNull(),
  groupId: uuid('group_id').notNull(),
  releasedBy: uuid('released_by').notNull(),
  releasedByName: text('released_by_name').notNull(),
  releasedAt: at('released_at').notNull().defaultNow(),
});
