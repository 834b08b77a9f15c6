import type { MachineReport, MachineSays, Problem } from '@chordae/contract';
import { bigint, date, jsonb, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });

export const originals = pgTable('originals', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  storageKey: text('storage_key').notNull(),
  sha256: text('sha256').notNull(),
  sizeBytes: bigint('size_bytes', { mode: 'number' }).notNull(),
  arrivedAt: at('arrived_at').notNull().defaultNow(),
  retainedUntil: date('retained_until', { mode: 'string' }),
  erasedAt: at('erased_at'),
});

export type ArrivalState = 'expected' | 'arriving' | 'arrived' | 'read' | 'unreadable' | 'duplicate';

export const arrivals = pgTable('arrivals', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  referralId: uuid('referral_id').notNull(),
  scanId: uuid('scan_id').notNull(),
  fileName: text('file_name').notNull(),
  sizeBytes: bigint('size_bytes', { mode: 'number' }).notNull(),
  sha256Announced: text('sha256_announced'),
  state: text('state').$type<ArrivalState>().notNull().default('expected'),
  originalId: uuid('original_id'),
  problem: jsonb('problem').$type<Problem>(),
  report: jsonb('report').$type<MachineReport>(),
  machine: jsonb('machine').$type<MachineSays>(),
  filmedByName: text('filmed_by_name'),
  createdBy: uuid('created_by').notNull(),
  createdAt: at('created_at').notNull().defaultNow(),
  updatedAt: at('updated_at').notNull().defaultNow(),
});
