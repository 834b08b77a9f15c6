import { pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

/** Merges and their undoing: the history; what stands is `patients.merged_into_id`. */
export const patientMerges = pgTable('patient_merges', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  fromId: uuid('from_id').notNull(),
  intoId: uuid('into_id').notNull(),
  reason: text('reason').notNull(),
  madeBy: uuid('made_by').notNull(),
  madeByName: text('made_by_name').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
  undoneAt: at('undone_at'),
  undoneByName: text('undone_by_name'),
});
