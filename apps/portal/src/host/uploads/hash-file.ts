import type { HashTold } from './hash-worker';

let worker: Worker | null = null;
let next = 0;
const waiting = new Map<number, (sha256: string | null) => void>();

/** SHA-256 of a file as 64 hex digits; null when the file could not be read. */
export function hashFile(file: Blob): Promise<string | null> {
  if (!worker) {
    worker = new Worker(new URL('./hash-worker.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<HashTold>) => {
      waiting.get(data.id)?.(data.sha256);
      waiting.delete(data.id);
    });
    worker.addEventListener('error', () => {
      for (const tell of waiting.values()) tell(null);
      waiting.clear();
    });
  }
  const id = next;
  next += 1;
  return new Promise((resolve) => {
    waiting.set(id, resolve);
    worker?.postMessage({ id, file }, []);
  });
}
