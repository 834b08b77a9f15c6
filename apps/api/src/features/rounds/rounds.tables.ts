import type { PlannedPatient, RoundText } from '@chordae/contract';
import { date, integer, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';
import type { FieldRevisions } from '../cases';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

/** What a visit holds besides the rows it points at. */
export interface StoredVisit {
  readonly planned: PlannedPatient;
  readonly position: number;
  readonly notScanned: string | null;
}

export const rounds = pgTable('rounds', {
  memberId: uuid('member_id').notNull(),
  id: uuid('id').notNull(),
  day: date('day', { mode: 'string' }).notNull(),
  fields: jsonb('fields').$type<Partial<RoundText>>().notNull().default({}),
  closedAt: at('closed_at'),
  revision: integer('revision').notNull().default(1),
  fieldRevisions: jsonb('field_revisions').$type<FieldRevisions>().notNull().default({}),
  createdAt: at('created_at').notNull().defaultNow(),
  updatedAt: at('updated_at').notNull().defaultNow(),
});

export const scanRequests = pgTable('scan_requests', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  patientId: uuid('patient_id'),
  planned: jsonb('planned').$type<PlannedPatient>().notNull(),
  wantedOn: date('wanted_on', { mode: 'string' }),
  askedBy: uuid('asked_by').notNull(),
  askedByName: text('asked_by_name').notNull(),
  askedAt: at('asked_at').notNull().defaultNow(),
  takenBy: uuid('taken_by'),
  takenByName: text('taken_by_name'),
  takenAt: at('taken_at'),
  withdrawnAt: at('withdrawn_at'),
});

export const roundVisits = pgTable('round_visits', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  memberId: uuid('member_id').notNull(),
  memberName: text('member_name').notNull(),
  roundId: uuid('round_id').notNull(),
  requestId: uuid('request_id'),
  patientId: uuid('patient_id'),
  referralId: uuid('referral_id'),
  fields: jsonb('fields').$type<StoredVisit>().notNull(),
  revision: integer('revision').notNull().default(1),
  fieldRevisions: jsonb('field_revisions').$type<FieldRevisions>().notNull().default({}),
  createdAt: at('created_at').notNull().defaultNow(),
  updatedAt: at('updated_at').notNull().defaultNow(),
});
