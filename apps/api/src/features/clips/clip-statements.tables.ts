import type { ClipStatement } from '@chordae/contract';
import { jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

export const clipStatements = pgTable('clip_statements', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id'),
  clipId: uuid('clip_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  statement: jsonb('statement').$type<ClipStatement>().notNull(),
  side: text('side').$type<'sender' | 'reader'>().notNull(),
  madeBy: uuid('made_by').notNull(),
  madeByName: text('made_by_name').notNull(),
  madeAt: timestamp('made_at', { withTimezone: true, mode: 'date' }).notNull().defaultNow(),
});
