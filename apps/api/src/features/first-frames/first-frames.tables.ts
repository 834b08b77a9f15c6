import type { MaskDecisionSaid, MaskState, ViewId } from '@chordae/contract';
import { customType, integer, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const bytes = customType<{ data: Buffer }>({ dataType: () => 'bytea' });

export const firstFrames = pgTable('first_frames', {
  practiceId: uuid('practice_id').notNull(),
  arrivalId: uuid('arrival_id').notNull(),
  groupId: uuid('group_id'),
  referralId: uuid('referral_id').notNull(),
  view: text('view').$type<ViewId>(),
  widthPx: integer('width_px').notNull(),
  heightPx: integer('height_px').notNull(),
  mask: text('mask').$type<Exclude<MaskState, 'needs-decision'>>().notNull(),
  decision: jsonb('decision').$type<MaskDecisionSaid>(),
  held: text('held'),
  picture: bytes('picture'),
  madeAt: timestamp('made_at', { withTimezone: true, mode: 'date' }).notNull().defaultNow(),
});
