import { pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const messages = pgTable('messages', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  side: text('side').$type<'practice' | 'group'>().notNull(),
  text: text('text').notNull(),
  madeBy: uuid('made_by').notNull(),
  madeByName: text('made_by_name').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
});
