import type { Assessment, ViewId } from '@chordae/contract';
import { jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

export const assessments = pgTable('assessments', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id'),
  clipId: uuid('clip_id').notNull(),
  engine: text('engine').notNull(),
  view: text('view').$type<ViewId>(),
  result: jsonb('result').$type<Assessment>().notNull(),
  madeAt: timestamp('made_at', { withTimezone: true, mode: 'date' }).notNull().defaultNow(),
});
