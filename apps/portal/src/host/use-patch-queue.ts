import type { PatchReply } from '@chordae/contract';
import { useEffect, useRef, useState, useSyncExternalStore } from 'react';
import { isPassing, sentenceOf } from './api';
import { device, useConflicts } from './device';
import type { Patch, PatchQueueView } from './patch-queue';
import { PatchQueue } from './patch-queue';
import { onSignedIn } from './session';

/**
 * One autosaving row on a page. Sends what is left when the page goes, and again after signing in or coming back online.
 * `row` is the row's name on this device (`rowOf`): conflicts that arose while nobody looked are then shown here.
 */
export function usePatchQueue(
  revision: number,
  send: (patch: Patch) => Promise<PatchReply>,
  afterSaved: () => Promise<unknown>,
  row?: string,
): PatchQueueView & { readonly queue: PatchQueue } {
  const latest = useRef({ send, afterSaved });
  latest.current = { send, afterSaved };
  const [queue] = useState(
    () =>
      new PatchQueue(revision, (patch) => latest.current.send(patch), {
        afterSaved: () => latest.current.afterSaved(),
        sentenceOf,
        mayRetry: isPassing,
        ...(row === undefined
          ? {}
          : {
              onChosen: (field: string) => void device.outbox.settle(row, field),
              onRetyped: (field: string, yours: unknown) => void device.outbox.retype(row, field, yours),
            }),
      }),
  );
  const kept = useConflicts(row ?? '');
  useEffect(() => {
    for (const conflict of kept) queue.adopt(conflict, conflict.revision);
  }, [queue, kept]);
  const view = useSyncExternalStore(queue.subscribe, queue.read);
  useEffect(() => queue.seen(revision), [queue, revision]);
  useEffect(() => {
    const again = () => void queue.flush();
    // A telephone may end a page that it put away without another word.
    const away = () => document.visibilityState === 'hidden' && again();
    const stop = onSignedIn(again);
    globalThis.addEventListener('online', again);
    globalThis.addEventListener('pagehide', again);
    document.addEventListener('visibilitychange', away);
    return () => {
      stop();
      globalThis.removeEventListener('online', again);
      globalThis.removeEventListener('pagehide', again);
      document.removeEventListener('visibilitychange', away);
      again();
    };
  }, [queue]);
  return { ...view, queue };
}
