import type { Organisation } from '@chordae/contract';
import { call } from '../api';
import { ApiError } from '../route-fetch';
import { dropUpload, keptUploads } from '../uploads/upload-store';
import { uuidv7 } from '../uuid';
import type { Device } from './device';

/** What would be lost by signing out now, of one practice. */
export interface Unsent {
  readonly practice: string;
  readonly changes: number;
  readonly files: number;
}

const KEPT_TEXTS = 'chordae.kept.';
/** Tells this page's own message from another tab's. */
const THIS_TAB = uuidv7();

function textsOf(memberId: string): string[] {
  try {
    return Object.keys(globalThis.localStorage ?? {}).filter((key) =>
      key.startsWith(`${KEPT_TEXTS}${memberId}.`),
    );
  } catch {
    return [];
  }
}

/** Everything of the person who is signed in that no server has yet, by practice. */
export async function unsentNow(device: Device, organisations: readonly Organisation[]): Promise<Unsent[]> {
  const memberId = device.member()?.member.id;
  if (!memberId) return [];
  await device.outbox.reload();
  const works = [...device.outbox.read(), ...device.outbox.conflicts()].filter(
    (w) => w.memberId === memberId,
  );
  const files = (await keptUploads()).filter((f) => f.memberId === memberId && !f.sent);
  const practices = [...new Set([...works, ...files].map((w) => w.practiceId))];
  const unsent = practices.map((id) => ({
    practice: organisations.find((o) => o.id === id)?.name ?? 'a practice you have left',
    changes: works.filter((w) => w.practiceId === id).length,
    files: files.filter((f) => f.practiceId === id).length,
  }));
  const texts = textsOf(memberId).length;
  return texts === 0
    ? unsent
    : [...unsent, { practice: 'Readings that were being written', changes: texts, files: 0 }];
}

/**
 * Ends the session and takes everything of this person off the device. Without a line the session is ended with the
 * first request that finds one, before any other.
 */
export async function signOutAndWipe(device: Device): Promise<void> {
  const memberId = device.member()?.member.id;
  try {
    await call('signOut', {});
  } catch (error) {
    if (!(error instanceof ApiError && error.code === 'SIGNED_OUT'))
      await device.store.putNote('sign-out-owed', true);
  }
  if (memberId) {
    for (const file of await keptUploads()) if (file.memberId === memberId) await dropUpload(file.arrivalId);
    for (const key of textsOf(memberId)) globalThis.localStorage.removeItem(key);
    for (const note of [`left:${memberId}`, `practice-names:${memberId}`])
      await device.store.putNote(note, null);
  }
  await device.forget();
  const channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel('chordae-member') : null;
  // A broadcast channel has no target origin: it reaches this origin only.
  // oxlint-disable-next-line unicorn/require-post-message-target-origin
  channel?.postMessage(THIS_TAB);
  channel?.close();
}

/** Other tabs of a browser in which somebody signs out show nothing more either. */
export function leaveWithOthers(): void {
  if (!('BroadcastChannel' in globalThis)) return;
  new BroadcastChannel('chordae-member').addEventListener('message', ({ data }: MessageEvent<unknown>) => {
    // A channel hears its own page as well, which goes by itself when all is wiped.
    if (data !== THIS_TAB) globalThis.location.assign('/');
  });
}
