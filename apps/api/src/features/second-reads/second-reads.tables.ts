import type { SecondReadText } from '@chordae/contract';
import { integer, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';
import type { FieldRevisions } from '../cases';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const secondReads = pgTable('second_reads', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  memberId: uuid('member_id').notNull(),
  memberName: text('member_name').notNull(),
  fields: jsonb('fields').$type<SecondReadText>().notNull(),
  revision: integer('revision').notNull().default(1),
  fieldRevisions: jsonb('field_revisions').$type<FieldRevisions>().notNull().default({}),
  startedAt: at('started_at').notNull().defaultNow(),
  signedAt: at('signed_at'),
});
