/** Worker: fetches frame packs and unpacks their frames for the page, several at once, each under its own key. */
import { decodePack, type FromDecodeWorker, type ToDecodeWorker } from '@chordae/codecs/browser';

interface Scope {
  addEventListener(kind: 'message', listener: (event: MessageEvent<ToDecodeWorker>) => void): void;
  postMessage(message: FromDecodeWorker, handOver: Transferable[]): void;
}
const scope = globalThis as unknown as Scope;
const running = new Map<string, AbortController>();

scope.addEventListener('message', ({ data: asked }) => {
  running.get(asked.key)?.abort();
  running.delete(asked.key);
  if (asked.kind === 'close') return;
  const control = new AbortController();
  running.set(asked.key, control);
  const job = { key: asked.key, url: asked.url, wantLuma: false, signal: control.signal };
  void decodePack(job, (message, handOver) => scope.postMessage(message, handOver));
});
