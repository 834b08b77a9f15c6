import type { FirstFrame, MaskDecisionSaid, ViewId } from '@chordae/contract';
import { and, asc, eq, isNotNull } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { firstFrames } from './first-frames.tables';

/** First frames of clips that are still on their way, as the actor may see them: in the order in which they came. */
export async function firstFramesOf(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<FirstFrame[]> {
  const { arrivalId, view, widthPx, heightPx } = firstFrames;
  return tx
    .select({ arrivalId, view, widthPx, heightPx })
    .from(firstFrames)
    .where(
      and(
        eq(firstFrames.practiceId, practiceId),
        eq(firstFrames.referralId, referralId),
        isNotNull(firstFrames.picture),
      ),
    )
    .orderBy(asc(firstFrames.arrivalId));
}

/** What the sender said of a file before the server had read it: its view, and what may leave of it. */
export async function saidOfFirstFrame(
  tx: ActorTx,
  practiceId: string,
  arrivalId: string,
): Promise<{ readonly view: ViewId | null; readonly decision: MaskDecisionSaid | null }> {
  const [row] = await tx
    .select({ view: firstFrames.view, decision: firstFrames.decision })
    .from(firstFrames)
    .where(and(eq(firstFrames.practiceId, practiceId), eq(firstFrames.arrivalId, arrivalId)));
  return row ?? { view: null, decision: null };
}
