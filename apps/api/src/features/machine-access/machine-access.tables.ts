import { customType, pgTable, text, timestamp, uuid } from 'drizzle-orm/pg-core';

const at = (name: string) => timestamp(name, { withTimezone: true, mode: 'date' });
const bytea = customType<{ data: Buffer }>({ dataType: () => 'bytea' });

export const machineKeys = pgTable('machine_keys', {
  practiceId: uuid('practice_id').notNull(),
  id: uuid('id').notNull(),
  name: text('name').notNull(),
  keyHash: bytea('key_hash').notNull(),
  madeBy: uuid('made_by').notNull(),
  madeByName: text('made_by_name').notNull(),
  madeAt: at('made_at').notNull().defaultNow(),
  lastUsedAt: at('last_used_at'),
  revokedAt: at('revoked_at'),
  revokedByName: text('revoked_by_name'),
});
