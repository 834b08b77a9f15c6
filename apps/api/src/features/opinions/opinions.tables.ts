import type { OpinionText, RescanWish } from '@chordae/contract';
import { integer, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';
import type { FieldRevisions } from '../cases';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const readings = pgTable('readings', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  memberId: uuid('member_id').notNull(),
  memberName: text('member_name').notNull(),
  kind: text('kind').$type<'primary' | 'second' | 'taken-over'>().notNull().default('primary'),
  startedAt: at('started_at').notNull().defaultNow(),
  endedAt: at('ended_at'),
  endedHow: text('ended_how'),
});

export const opinionDrafts = pgTable('opinion_drafts', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  fields: jsonb('fields').$type<OpinionText>().notNull(),
  revision: integer('revision').notNull().default(1),
  fieldRevisions: jsonb('field_revisions').$type<FieldRevisions>().notNull().default({}),
  updatedBy: uuid('updated_by').notNull(),
  updatedAt: at('updated_at').notNull().defaultNow(),
});

export const flagAnswers = pgTable('flag_answers', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  flagKey: text('flag_key').notNull(),
  answer: text('answer').$type<'kept' | 'set-aside'>().notNull(),
  reason: text('reason').notNull(),
  madeBy: uuid('made_by').notNull(),
  madeByName: text('made_by_name').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
});

export const interimAnswers = pgTable('interim_answers', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  text: text('text').notNull(),
  madeBy: uuid('made_by').notNull(),
  madeByName: text('made_by_name').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
  readBackAt: at('read_back_at'),
  readBackBy: text('read_back_by'),
});

export const rescanWishes = pgTable('rescan_wishes', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  views: jsonb('views').$type<RescanWish['views']>().notNull(),
  text: text('text').notNull(),
  madeBy: uuid('made_by').notNull(),
  madeByName: text('made_by_name').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
  answeredAt: at('answered_at'),
  answerNote: text('answer_note'),
});
