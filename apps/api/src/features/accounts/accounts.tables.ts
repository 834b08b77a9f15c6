import type { Agreement, DeskSettings } from '@chordae/contract';
import { boolean, integer, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const practices = pgTable('practices', {
  id: uuid('id').primaryKey(),
  name: text('name').notNull(),
  zone: text('zone').notNull(),
  phone: text('phone').notNull(),
  letterhead: jsonb('letterhead').notNull(),
  demo: boolean('demo').notNull(),
  nextPatientNumber: integer('next_patient_number').notNull(),
  nextReferralNumber: integer('next_referral_number').notNull(),
  createdAt: at('created_at').notNull(),
});

export const readingGroups = pgTable('reading_groups', {
  id: uuid('id').primaryKey(),
  name: text('name').notNull(),
  zone: text('zone').notNull(),
  phone: text('phone').notNull(),
  letterhead: jsonb('letterhead').notNull(),
  demo: boolean('demo').notNull(),
  settings: jsonb('settings').notNull(),
  createdAt: at('created_at').notNull(),
});

/** Keys and the like, one row a person. */
export const deskSettings = pgTable('desk_settings', {
  memberId: uuid('member_id').primaryKey(),
  settings: jsonb('settings').$type<DeskSettings>().notNull(),
  updatedAt: at('updated_at').notNull().defaultNow(),
});

export const agreements = pgTable('agreements', {
  practiceId: uuid('practice_id').notNull(),
  groupId: uuid('group_id').notNull(),
  id: uuid('id').notNull(),
  zone: text('zone').notNull(),
  openingHours: jsonb('opening_hours').$type<Agreement['openingHours']>().notNull(),
  targetMinutes: jsonb('target_minutes').$type<Agreement['targetMinutes']>().notNull(),
  emergencyContact: text('emergency_contact').notNull(),
  createdAt: at('created_at').notNull(),
  endedAt: at('ended_at'),
});
