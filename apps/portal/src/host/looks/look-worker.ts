import type { Look, LookOptions } from './look-at-file';
import { lookAt, openForLook } from './look-at-file';

export type ToLookWorker = {
  readonly id: string;
  readonly file: Blob;
  readonly options: LookOptions;
};
export interface LookTold {
  readonly id: string;
  readonly look: Look;
}

const scope = globalThis as unknown as {
  addEventListener(kind: 'message', listen: (event: MessageEvent<ToLookWorker>) => void): void;
  postMessage(message: LookTold): void;
};

let last: { readonly id: string; readonly held: Awaited<ReturnType<typeof openForLook>> } | null = null;
let queue: Promise<void> = Promise.resolve();

/** One file after the other: frames of two clips at once would double the memory and help nobody. */
scope.addEventListener('message', ({ data }) => {
  queue = queue.then(async () => {
    const startedAtMs = performance.now();
    try {
      if (last?.id !== data.id) last = { id: data.id, held: await openForLook(data.file) };
      const { held } = last;
      scope.postMessage({
        id: data.id,
        look: 'ok' in held ? held : lookAt(held, data.options, startedAtMs),
      });
    } catch {
      last = null;
      scope.postMessage({ id: data.id, look: { ok: false, code: 'LOOK_FAILED' } });
    }
  });
});
