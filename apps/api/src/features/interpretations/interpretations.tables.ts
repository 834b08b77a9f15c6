import type { Interpretation, InterpretationInput } from '@chordae/contract';
import { sql } from 'drizzle-orm';
import { bigint, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

export const interpretations = pgTable('interpretations', {
  position: bigint('position', { mode: 'number' })
    .notNull()
    .default(sql`nextval('interpretation_positions')`),
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id'),
  referralId: uuid('referral_id').notNull(),
  result: jsonb('result').$type<Interpretation>().notNull(),
  input: jsonb('input').$type<InterpretationInput>().notNull(),
  inputHash: text('input_hash').notNull(),
  engineVersion: text('engine_version').notNull(),
  limitsHash: text('limits_hash').notNull(),
  madeAt: timestamp('made_at', { withTimezone: true, mode: 'date' }).notNull().defaultNow(),
});
