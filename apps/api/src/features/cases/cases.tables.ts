import type {
  PatientView,
  ReferralState,
  ScanPlanId,
  Sex,
  Species,
  StateAtScan,
  Urgency,
} from '@chordae/contract';
import {
  boolean,
  date,
  doublePrecision,
  integer,
  jsonb,
  pgTable,
  smallint,
  text,
  timestamp,
  uuid,
} from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const patients = pgTable('patients', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  number: integer('number').notNull(),
  name: text('name').notNull(),
  species: text('species').$type<Species>().notNull(),
  breedCode: text('breed_code'),
  breedText: text('breed_text').notNull(),
  sex: text('sex').$type<Sex>().notNull(),
  neutered: boolean('neutered'),
  birthDate: date('birth_date', { mode: 'string' }),
  birthPrecision: text('birth_precision').$type<'day' | 'month' | 'year' | 'guessed'>(),
  chip: text('chip'),
  mergedIntoId: uuid('merged_into_id'),
  revision: integer('revision').notNull().default(1),
  fieldRevisions: jsonb('field_revisions').$type<FieldRevisions>().notNull().default({}),
  createdBy: uuid('created_by').notNull(),
  createdAt: at('created_at').notNull().defaultNow(),
  updatedAt: at('updated_at').notNull().defaultNow(),
  erasedAt: at('erased_at'),
});

/** field → revision at which it last changed, and who changed it. */
export type FieldRevisions = Record<string, { at: number; by: string }>;

export const keepers = pgTable('keepers', {
  practiceId: uuid('practice_id').notNull(),
  patientId: uuid('patient_id').notNull(),
  name: text('name').notNull(),
  phone: text('phone').notNull(),
  email: text('email').notNull(),
  updatedAt: at('updated_at').notNull().defaultNow(),
  erasedAt: at('erased_at'),
});

export const weights = pgTable('weights', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  patientId: uuid('patient_id').notNull(),
  weightKg: doublePrecision('weight_kg').notNull(),
  asTyped: text('as_typed').notNull(),
  guessed: boolean('guessed').notNull(),
  weighedOn: date('weighed_on', { mode: 'string' }).notNull(),
  createdBy: uuid('created_by').notNull(),
  createdAt: at('created_at').notNull().defaultNow(),
});

export const scans = pgTable('scans', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id'),
  patientId: uuid('patient_id').notNull(),
  scannedOn: date('scanned_on', { mode: 'string' }).notNull(),
  operator: text('operator').notNull().default(''),
  machine: text('machine').notNull().default(''),
  state: jsonb('state').$type<StateAtScan>().notNull(),
  revision: integer('revision').notNull().default(1),
  fieldRevisions: jsonb('field_revisions').$type<FieldRevisions>().notNull().default({}),
  createdBy: uuid('created_by').notNull(),
  createdAt: at('created_at').notNull().defaultNow(),
  updatedAt: at('updated_at').notNull().defaultNow(),
});

export const scanReferrals = pgTable('scan_referrals', {
  practiceId: uuid('practice_id').notNull(),
  groupId: uuid('group_id'),
  scanId: uuid('scan_id').notNull(),
  referralId: uuid('referral_id').notNull(),
  position: integer('position').notNull(),
});

export const referrals = pgTable('referrals', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id'),
  wantedGroupId: uuid('wanted_group_id'),
  patientId: uuid('patient_id').notNull(),
  number: integer('number').notNull(),
  state: text('state').$type<ReferralState>().notNull().default('draft'),
  plan: text('plan').$type<ScanPlanId>().notNull(),
  question: text('question').notNull().default(''),
  history: text('history').notNull().default(''),
  urgencyAsked: text('urgency_asked').$type<Urgency>(),
  urgencyReason: text('urgency_reason').notNull().default(''),
  identity: text('identity')
    .$type<'not-compared' | 'agreed' | 'resolved' | 'nothing-to-compare'>()
    .notNull()
    .default('not-compared'),
  identityReason: text('identity_reason'),
  patientSent: jsonb('patient_sent').$type<PatientView>(),
  urgency: text('urgency').$type<Urgency>(),
  urgencyRank: smallint('urgency_rank'),
  urgencyProposed: text('urgency_proposed').$type<Urgency>(),
  actNow: text('act_now').array().notNull().default([]),
  clinicalWords: text('clinical_words').array().notNull().default([]),
  sentAt: at('sent_at'),
  dueAt: at('due_at'),
  clockStoppedAt: at('clock_stopped_at'),
  readerId: uuid('reader_id'),
  readerName: text('reader_name'),
  secondReadWanted: boolean('second_read_wanted').notNull().default(false),
  handedTo: uuid('handed_to'),
  handedToName: text('handed_to_name'),
  handedByName: text('handed_by_name'),
  handOverReason: text('hand_over_reason'),
  clipCount: integer('clip_count').notNull().default(0),
  revision: integer('revision').notNull().default(1),
  fieldRevisions: jsonb('field_revisions').$type<FieldRevisions>().notNull().default({}),
  createdBy: uuid('created_by').notNull(),
  createdAt: at('created_at').notNull().defaultNow(),
  updatedAt: at('updated_at').notNull().defaultNow(),
  withdrawnAt: at('withdrawn_at'),
  retainedUntil: date('retained_until', { mode: 'string' }),
  erasedAt: at('erased_at'),
});
