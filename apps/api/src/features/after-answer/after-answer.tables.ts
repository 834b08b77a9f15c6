import type { Outcome } from '@chordae/contract';
import { pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const outcomes = pgTable('outcomes', {
  practiceId: uuid('practice_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  groupId: uuid('group_id').notNull(),
  answer: text('answer').$type<Outcome['answer']>().notNull(),
  words: text('words').notNull().default(''),
  madeBy: uuid('made_by').notNull(),
  madeByName: text('made_by_name').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
});
