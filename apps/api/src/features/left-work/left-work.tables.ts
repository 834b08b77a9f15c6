import { bigint, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const leftWorkRows = pgTable('left_work', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  fromMember: uuid('from_member').notNull(),
  fromName: text('from_name').notNull(),
  work: jsonb('work').$type<unknown[]>().notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
  takenByName: text('taken_by_name'),
  takenAt: at('taken_at'),
});

export const leftFiles = pgTable('left_files', {
  practiceId: uuid('practice_id').notNull(),
  workId: uuid('work_id').notNull(),
  id: uuid('id').notNull(),
  fileName: text('file_name').notNull(),
  sizeBytes: bigint('size_bytes', { mode: 'number' }).notNull(),
  sha256: text('sha256').notNull(),
  storageKey: text('storage_key').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
});
