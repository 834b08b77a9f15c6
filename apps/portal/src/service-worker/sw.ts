/**
 * Keeps the program itself on the device, so that it opens without a line. Never what the server says of a case: that is
 * the business of host/device. Each build has a shelf of its own; an older one stays while a page still runs from it.
 */
declare const PROGRAM_FILES: readonly string[];
declare const PROGRAM_VERSION: string;

interface Waits extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Tells extends Waits {
  readonly data: unknown;
}
interface Fetches extends Waits {
  readonly request: Request;
  respondWith(reply: Promise<Response>): void;
}
interface Scope {
  readonly location: Location;
  readonly clients: {
    claim(): Promise<void>;
    matchAll(which: { type: 'window'; includeUncontrolled: boolean }): Promise<readonly unknown[]>;
  };
  skipWaiting(): Promise<void>;
  addEventListener(kind: 'install' | 'activate', listen: (event: Waits) => void): void;
  addEventListener(kind: 'fetch', listen: (event: Fetches) => void): void;
  addEventListener(kind: 'message', listen: (event: Tells) => void): void;
}
const scope = globalThis as unknown as Scope;
const SHELF = `chordae-program-${PROGRAM_VERSION}`;
const SHELL = '/';

/** A file that an older shelf holds under the same name is the same file: its name carries its hash. */
async function fill(): Promise<void> {
  const shelf = await caches.open(SHELF);
  for (const file of PROGRAM_FILES) {
    const known = file.startsWith('/assets/') ? await caches.match(file) : undefined;
    if (known) await shelf.put(file, known);
    else await shelf.add(new Request(file, { cache: 'no-cache' }));
  }
}

/** Older shelves go when the one page that is open says that it runs from this one. */
async function sweep(): Promise<void> {
  const pages = await scope.clients.matchAll({ type: 'window', includeUncontrolled: true });
  if (pages.length > 1) return;
  for (const name of await caches.keys())
    if (name.startsWith('chordae-program-') && name !== SHELF) await caches.delete(name);
}

async function shell(request: Request): Promise<Response> {
  const kept = await (await caches.open(SHELF)).match(SHELL);
  return kept ?? fetch(request);
}

async function file(request: Request): Promise<Response> {
  return (await (await caches.open(SHELF)).match(request)) ?? (await caches.match(request)) ?? fetch(request);
}

scope.addEventListener('install', (event) => event.waitUntil(fill()));
scope.addEventListener('activate', (event) => event.waitUntil(scope.clients.claim()));
scope.addEventListener('message', (event) => {
  if (event.data === 'take-over') event.waitUntil(scope.skipWaiting());
  if (event.data === 'loaded') event.waitUntil(sweep());
});
scope.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== scope.location.origin) return;
  if (url.pathname.startsWith('/api/') || url.pathname === '/sw.js') return;
  event.respondWith(request.mode === 'navigate' ? shell(request) : file(request));
});
