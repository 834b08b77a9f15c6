import { integer, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const mails = pgTable('mails', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  referralId: uuid('referral_id'),
  reason: text('reason').notNull(),
  toEmail: text('to_email').notNull(),
  subject: text('subject').notNull(),
  body: text('body').notNull(),
  state: text('state').$type<'waiting' | 'sent' | 'failed'>().notNull().default('waiting'),
  attempts: integer('attempts').notNull().default(0),
  lastError: text('last_error'),
  createdAt: at('created_at').notNull().defaultNow(),
  sentAt: at('sent_at'),
});
