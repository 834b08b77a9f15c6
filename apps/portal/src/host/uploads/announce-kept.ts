import { isPassing } from '../route-fetch';
import { Announcer } from './announce';
import { headerOf } from './header-of';
import { sentBefore } from './sent-before';
import { type KeptUpload, keptFile, keptUploads } from './upload-store';

/**
 * Tells the server of the files of a case that lie here, with what their headers say, before the case is sent: an animal
 * mixed up is met then, and a case of clips alone is not found empty. Their bytes follow later; telling twice is once.
 */
export async function announceKept(memberId: string, referralId: string): Promise<void> {
  const announcer = new Announcer();
  const files = (await keptUploads()).filter(
    (u) => u.memberId === memberId && u.referralId === referralId && !u.announced && !u.sent,
  );
  for (const kept of files) await announceOne(announcer, kept);
}

async function announceOne(announcer: Announcer, kept: KeptUpload): Promise<void> {
  const file = await keptFile(kept);
  if (!file) return;
  const says = await headerOf(file);
  if ('refused' in says || (await sentBefore(kept.practiceId, kept.sha256))) return;
  try {
    await announcer.announce(kept, says.header?.machine ?? null);
  } catch (error) {
    // What the server will not take of it is said beside the file.
    if (isPassing(error)) throw error;
  }
}
