/** Worker entry: plays packs for the page. Start it as a module worker and speak by `messages.ts`. */
import { decodePack } from './decode-pack';
import type { FromDecodeWorker, ToDecodeWorker } from './messages';

/** The part of a worker's global scope used here; the DOM library of the compiler knows only the page's. */
interface WorkerScope {
  addEventListener(kind: 'message', listen: (event: MessageEvent<ToDecodeWorker>) => void): void;
  postMessage(message: FromDecodeWorker, handOver: Transferable[]): void;
}

const scope = globalThis as unknown as WorkerScope;
const running = new Map<string, AbortController>();

scope.addEventListener('message', ({ data: asked }) => {
  running.get(asked.key)?.abort();
  running.delete(asked.key);
  if (asked.kind === 'close') return;
  const control = new AbortController();
  running.set(asked.key, control);
  const job = { key: asked.key, url: asked.url, wantLuma: asked.wantLuma ?? false, signal: control.signal };
  void decodePack(job, (message, handOver) => scope.postMessage(message, handOver));
});
