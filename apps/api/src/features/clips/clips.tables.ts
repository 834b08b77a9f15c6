import type { ClipDescription, KeepBox, MachineSays, MaskState, ViewId } from '@chordae/contract';
import { bigint, integer, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const clips = pgTable('clips', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id'),
  scanId: uuid('scan_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  arrivalId: uuid('arrival_id').notNull(),
  originalId: uuid('original_id').notNull(),
  number: integer('number').notNull(),
  description: jsonb('description').$type<ClipDescription>().notNull(),
  view: text('view').$type<ViewId>(),
  viewJudged: text('view_judged')
    .$type<'received' | 'adequate' | 'doubtful' | 'not-possible'>()
    .notNull()
    .default('received'),
  viewWhy: text('view_why'),
  mask: text('mask').$type<MaskState>().notNull(),
  keepBox: jsonb('keep_box').$type<KeepBox>(),
  held: text('held'),
  versions: jsonb('versions').$type<Record<string, string | number>>().notNull(),
  revision: integer('revision').notNull().default(1),
  createdAt: at('created_at').notNull().defaultNow(),
});

export const clipOrigins = pgTable('clip_origins', {
  practiceId: uuid('practice_id').notNull(),
  clipId: uuid('clip_id').notNull(),
  fileName: text('file_name').notNull(),
  machine: jsonb('machine').$type<MachineSays>().notNull(),
});

export const packs = pgTable('packs', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id'),
  clipId: uuid('clip_id').notNull(),
  kind: text('kind').$type<'own' | 'outgoing'>().notNull(),
  storageKey: text('storage_key').notNull(),
  sizeBytes: bigint('size_bytes', { mode: 'number' }).notNull(),
  sha256: text('sha256').notNull(),
  formatVersion: integer('format_version').notNull(),
  createdAt: at('created_at').notNull().defaultNow(),
  supersededAt: at('superseded_at'),
});
