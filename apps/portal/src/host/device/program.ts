/** The program itself on this device: kept by the service worker, renewed when the person says so. */
class Program {
  private newer: ServiceWorker | null = null;
  private readonly listeners = new Set<() => void>();

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  /** A newer version lies ready. */
  readonly read = (): boolean => this.newer !== null;

  /** Registers the service worker once the page stands; an open page goes on with the version it began with. */
  async start(): Promise<void> {
    const workers = (navigator as { serviceWorker?: ServiceWorkerContainer }).serviceWorker;
    if (!workers) return;
    const found = await workers.register('/sw.js', { updateViaCache: 'none' }).catch(() => null);
    if (!found) return;
    const look = () => {
      if (found.waiting && workers.controller) this.tell(found.waiting);
    };
    look();
    workers.controller?.postMessage('loaded');
    found.addEventListener('updatefound', () => found.installing?.addEventListener('statechange', look));
    // A page that stays open for days asks now and then.
    setInterval(() => void found.update().catch(() => undefined), 60 * 60_000);
  }

  /** Goes over to the newer version; other open pages keep their own files until they are closed. */
  renew(): void {
    navigator.serviceWorker.addEventListener('controllerchange', () => globalThis.location.reload(), {
      once: true,
    });
    this.newer?.postMessage('take-over');
  }

  private tell(newer: ServiceWorker): void {
    this.newer = newer;
    for (const listener of this.listeners) listener();
  }
}

export const program = new Program();
