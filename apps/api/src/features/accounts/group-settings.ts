import { type GroupSettings, groupSettings } from '@chordae/contract';
import { eq } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { readingGroups } from './accounts.tables';

const NOTHING_SET: GroupSettings = { secondReadPercent: 0, marksOff: [] };

/** What the lead has set; what was never set, or cannot be read any more, is off. */
export async function groupSettingsOf(tx: ActorTx, groupId: string): Promise<GroupSettings> {
  const rows = await tx
    .select({ settings: readingGroups.settings })
    .from(readingGroups)
    .where(eq(readingGroups.id, groupId));
  const first = rows[0];
  if (!first) throw new AppError('NOT_FOUND');
  return groupSettings.safeParse(first.settings).data ?? NOTHING_SET;
}

export async function setGroupSettings(tx: ActorTx, groupId: string, settings: GroupSettings): Promise<void> {
  await tx
    .update(readingGroups)
    .set({ settings: { schema: 1, ...settings } })
    .where(eq(readingGroups.id, groupId));
}
