import type { AccountPrices } from '@chordae/contract';
import { jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

/** What a person takes at a practice; prices null: none are kept. */
export const accountPricesTable = pgTable('account_prices', {
  practiceId: uuid('practice_id').notNull(),
  memberId: uuid('member_id').notNull(),
  prices: jsonb('prices').$type<{ schema: 1; prices: AccountPrices | null }>().notNull(),
  updatedByName: text('updated_by_name').notNull(),
  updatedAt: timestamp('updated_at', { withTimezone: true, mode: 'date' }).notNull().defaultNow(),
});
