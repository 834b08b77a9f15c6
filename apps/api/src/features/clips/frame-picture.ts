import { and, eq } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Services } from '../../platform/services';
import { originals } from '../arrivals';
import { type ClipRow, findClip } from './clips.repository';

interface FrameAt {
  readonly practiceId: string;
  readonly referralId: string;
  readonly clipId: string;
  readonly frame: number;
}

/** Exact pixels of one frame as the reading group may see them: what hides a name stands over them. */
export async function groupFramePng(services: Services, at: FrameAt): Promise<Uint8Array> {
  const { clip, key } = await originalOf(services, at);
  // A clip that did not leave the practice is neither shown nor printed.
  if (clip.groupId === null) throw new AppError('NOT_FOUND');
  if (clip.mask === 'needs-decision') throw new AppError('NOT_READY', { clipId: at.clipId });
  const { exactFramePng } = await import('./read-original');
  return exactFramePng(services, key, at.frame, clip);
}

/** The same before a case is sent: what hides a name stands over the pixels, whoever the paper goes to. */
export async function maskedFramePng(services: Services, at: FrameAt): Promise<Uint8Array> {
  const { clip, key } = await originalOf(services, at);
  if (clip.mask === 'needs-decision') throw new AppError('NOT_READY', { clipId: at.clipId });
  const { exactFramePng } = await import('./read-original');
  return exactFramePng(services, key, at.frame, clip);
}

/** The same for the practice itself: as its machine wrote it. */
export async function ownFramePng(services: Services, at: FrameAt): Promise<Uint8Array> {
  const { key } = await originalOf(services, at);
  const { exactFramePng } = await import('./read-original');
  return exactFramePng(services, key, at.frame, null);
}

/** The group reads no originals: clip and storage key are looked up as a job of the practice. */
function originalOf(services: Services, at: FrameAt): Promise<{ clip: ClipRow; key: string }> {
  return services.db.withJob(at.practiceId, 'frames', async (tx) => {
    const clip = await findClip(tx, at.practiceId, at.clipId);
    if (clip.referralId !== at.referralId || at.frame >= clip.description.frameCount)
      throw new AppError('NOT_FOUND');
    const original = await tx
      .select({ key: originals.storageKey })
      .from(originals)
      .where(and(eq(originals.practiceId, at.practiceId), eq(originals.id, clip.originalId)));
    const key = original[0]?.key;
    if (!key) throw new AppError('NOT_FOUND');
    return { clip, key };
  });
}
