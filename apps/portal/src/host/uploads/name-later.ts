import type { CaseView } from '@chordae/contract';
import { call } from '../api';
import type { KeptUpload } from './upload-store';
import { dropUpload, keptUploads } from './upload-store';

/** What is to be done about a view that was said of a file before the server had read it. */
export function whatToName(
  upload: Pick<KeptUpload, 'arrivalId' | 'view'>,
  view: Pick<CaseView, 'arrivals' | 'clips'>,
): { readonly clipId: string } | 'wait' | 'nothing' {
  const arrival = view.arrivals.find((a) => a.id === upload.arrivalId);
  if (upload.view === null || !arrival || arrival.state === 'unreadable' || arrival.state === 'duplicate')
    return 'nothing';
  const clip = view.clips.find((c) => c.id === arrival.clipId);
  if (!clip) return arrival.state === 'read' ? 'nothing' : 'wait';
  // Named meanwhile by a person who saw it: that stands.
  return clip.view === null ? { clipId: clip.id } : 'nothing';
}

/** Gives views that were named on this device to clips that the server has read by now; says whether some still wait. */
export async function nameRead(memberId: string): Promise<boolean> {
  const waiting = (await keptUploads()).filter((u) => u.sent && u.memberId === memberId);
  let left = false;
  for (const upload of waiting) {
    const { practiceId, referralId, view, arrivalId } = upload;
    const seen = await call('getCase', { params: { practiceId, referralId } }).catch(() => null);
    const todo = seen ? whatToName(upload, seen) : 'wait';
    if (todo === 'wait') {
      left = true;
      continue;
    }
    if (todo !== 'nothing')
      await call('patchClip', { params: { practiceId, clipId: todo.clipId }, body: { view } }).catch(
        () => undefined,
      );
    await dropUpload(arrivalId);
  }
  return left;
}

let naming = false;
/** Views said of files before they were read there: looked for again until each is given, or nobody works here any more. */
export async function nameSent(member: () => string | null): Promise<void> {
  if (naming) return;
  naming = true;
  for (let pause = 2000; ; pause = Math.min(60_000, pause * 1.5)) {
    const memberId = member();
    if (memberId === null || !(await nameRead(memberId).catch(() => true))) break;
    await new Promise((resolve) => setTimeout(resolve, pause));
  }
  naming = false;
}
