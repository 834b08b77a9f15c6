/** Worker: SHA-256 of a file, in pieces, so that a large file needs no memory and the page stays quick. */
import { createSHA256 } from 'hash-wasm';

export interface HashAsked {
  readonly id: number;
  readonly file: Blob;
}
export interface HashTold {
  readonly id: number;
  readonly sha256: string | null;
}

interface Scope {
  addEventListener(kind: 'message', listener: (event: MessageEvent<HashAsked>) => void): void;
  postMessage(told: HashTold, handOver: Transferable[]): void;
}
const scope = globalThis as unknown as Scope;
const PIECE = 4 * 1024 * 1024;

async function sha256Of(file: Blob): Promise<string> {
  const hash = await createSHA256();
  hash.init();
  for (let at = 0; at < file.size; at += PIECE) {
    hash.update(new Uint8Array(await file.slice(at, at + PIECE).arrayBuffer()));
  }
  return hash.digest('hex');
}

let last: Promise<void> = Promise.resolve();
scope.addEventListener('message', ({ data: { id, file } }) => {
  last = last.then(async () => {
    scope.postMessage({ id, sha256: await sha256Of(file).catch(() => null) }, []);
  });
});
