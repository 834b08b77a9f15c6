import type { Phrase } from '@chordae/contract';
import { boolean, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

export const phrases = pgTable('phrases', {
  groupId: uuid('group_id').notNull(),
  id: uuid('id').notNull(),
  place: text('place').$type<Phrase['place']>().notNull(),
  text: text('text').notNull(),
  retired: boolean('retired').notNull().default(false),
  madeBy: uuid('made_by').notNull(),
  madeByName: text('made_by_name').notNull(),
  updatedAt: timestamp('updated_at', { withTimezone: true, mode: 'date' }).notNull().defaultNow(),
});
