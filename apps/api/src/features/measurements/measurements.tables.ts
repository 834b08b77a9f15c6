import type { CanonicalUnit, Geometry, MeasurementCode, ObservationCode, ViewId } from '@chordae/contract';
import {
  boolean,
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
type Side = 'sender' | 'reader' | 'machine';

export const measurements = pgTable('measurements', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id'),
  referralId: uuid('referral_id').notNull(),
  clipId: uuid('clip_id'),
  code: text('code').$type<MeasurementCode>().notNull(),
  value: doublePrecision('value').notNull(),
  unit: text('unit').$type<CanonicalUnit>().notNull(),
  asTyped: text('as_typed').notNull(),
  view: text('view').$type<ViewId>(),
  method: text('method').$type<'2d' | 'm-mode' | 'doppler' | 'other'>(),
  beat: smallint('beat'),
  frame: integer('frame'),
  source: text('source').$type<'typed' | 'machine' | 'caliper' | 'computed'>().notNull(),
  geometry: jsonb('geometry').$type<Geometry>(),
  side: text('side').$type<Side>().notNull(),
  supersedesId: uuid('supersedes_id'),
  withdrawn: boolean('withdrawn').notNull().default(false),
  madeBy: uuid('made_by'),
  madeByName: text('made_by_name').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
});

export const observations = pgTable('observations', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  groupId: uuid('group_id'),
  referralId: uuid('referral_id').notNull(),
  code: text('code').$type<ObservationCode>().notNull(),
  value: text('value'),
  side: text('side').$type<Side>().notNull(),
  supersedesId: uuid('supersedes_id'),
  madeBy: uuid('made_by'),
  madeByName: text('made_by_name').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
});
