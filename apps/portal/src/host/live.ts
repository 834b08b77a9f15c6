import type { QueryClient } from '@tanstack/react-query';

/** What the server tells: ids only. `reread` means that something may have been missed. */
interface Changed {
  readonly referralId?: string | null;
  readonly all?: boolean;
}

function reread(client: QueryClient, changed: Changed): void {
  void client.invalidateQueries({
    predicate: ({ queryKey: [kind, , referralId] }) => {
      if (kind === 'me' || kind === 'header') return false;
      if (changed.all || kind !== 'case' || !changed.referralId) return true;
      return referralId === changed.referralId;
    },
  });
}

function listen(tell: (changed: Changed) => void): () => void {
  let first = true;
  const source = new EventSource('/api/live', { withCredentials: true });
  source.addEventListener('hello', () => {
    // A line that was cut may have missed something: read all again.
    if (!first) tell({ all: true });
    first = false;
  });
  source.addEventListener('changed', (event) => tell(JSON.parse(String(event.data)) as Changed));
  source.addEventListener('reread', () => tell({ all: true }));
  return () => source.close();
}

/**
 * One event stream per browser: the page that holds the lock listens and tells the others. Without locks each page
 * listens for itself.
 */
export function startLive(client: QueryClient): () => void {
  const stop = new AbortController();
  const channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel('chordae-live') : null;
  channel?.addEventListener('message', (event) => reread(client, event.data as Changed));
  const lead = () =>
    listen((changed) => {
      reread(client, changed);
      // A broadcast channel has no target origin: it reaches this origin only.
      // oxlint-disable-next-line unicorn/require-post-message-target-origin
      channel?.postMessage(changed);
    });
  const locks = (navigator as { locks?: LockManager }).locks;
  if (!locks || !channel) {
    const close = lead();
    stop.signal.addEventListener('abort', close);
  } else {
    void locks
      .request(
        'chordae-live',
        { signal: stop.signal },
        () =>
          new Promise<void>((resolve) => {
            const close = lead();
            stop.signal.addEventListener('abort', () => {
              close();
              resolve();
            });
          }),
      )
      .catch(() => undefined);
  }
  return () => {
    stop.abort();
    channel?.close();
  };
}
