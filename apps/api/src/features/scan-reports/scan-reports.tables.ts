import type { ReportText } from '@chordae/contract';
import { bigint, integer, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';
import type { FieldRevisions } from '../cases';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const reportDrafts = pgTable('report_drafts', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  referralId: uuid('referral_id').notNull(),
  fields: jsonb('fields').$type<Partial<ReportText>>().notNull(),
  revision: integer('revision').notNull().default(1),
  fieldRevisions: jsonb('field_revisions').$type<FieldRevisions>().notNull().default({}),
  updatedBy: uuid('updated_by').notNull(),
  updatedAt: at('updated_at').notNull().defaultNow(),
});

/** `groupId` is null until the case is sent: then the reading group sees what was signed, and nothing else of it. */
export const signedReports = pgTable('signed_reports', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id'),
  referralId: uuid('referral_id').notNull(),
  kind: text('kind').$type<'report' | 'addendum'>().notNull(),
  fields: jsonb('fields').$type<Partial<ReportText>>().notNull(),
  canonicalText: text('canonical_text').notNull(),
  sha256: text('sha256').notNull(),
  signerId: uuid('signer_id').notNull(),
  signerName: text('signer_name').notNull(),
  signedAt: at('signed_at').notNull(),
  deviceSignedAt: at('device_signed_at'),
  inputs: jsonb('inputs').notNull(),
  engineVersion: text('engine_version').notNull(),
});

export const reportPdfs = pgTable('report_pdfs', {
  practiceId: uuid('practice_id').notNull(),
  signedId: uuid('signed_id').notNull(),
  groupId: uuid('group_id'),
  storageKey: text('storage_key').notNull(),
  sha256: text('sha256').notNull(),
  sizeBytes: bigint('size_bytes', { mode: 'number' }).notNull(),
  createdAt: at('created_at').notNull().defaultNow(),
});

export const reportMessages = pgTable('report_messages', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  referralId: uuid('referral_id').notNull(),
  side: text('side').$type<'practice' | 'sonographer'>().notNull(),
  text: text('text').notNull(),
  madeBy: uuid('made_by').notNull(),
  madeByName: text('made_by_name').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
});
