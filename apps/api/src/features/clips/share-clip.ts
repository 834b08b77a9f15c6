import { and, eq, isNull } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { clips, packs } from './clips.tables';

/** Opens one clip and its outgoing pack, never the own one, to the reading group. */
export async function shareClip(
  tx: ActorTx,
  practiceId: string,
  clipId: string,
  groupId: string,
): Promise<void> {
  await tx
    .update(clips)
    .set({ groupId })
    .where(and(eq(clips.practiceId, practiceId), eq(clips.id, clipId)));
  await tx
    .update(packs)
    .set({ groupId })
    .where(
      and(
        eq(packs.practiceId, practiceId),
        eq(packs.clipId, clipId),
        eq(packs.kind, 'outgoing'),
        isNull(packs.supersededAt),
      ),
    );
}
