import type { ViewId } from '@chordae/contract';
import { useEffect, useSyncExternalStore } from 'react';
import type { Look, LookOptions } from './look-at-file';
import type { LookTold, ToLookWorker } from './look-worker';

/** What was seen of a picked file on this computer, and which view its sender says it is. */
export interface SeenFile {
  readonly state: 'looking' | 'seen';
  readonly look: Look | null;
  readonly view: ViewId | null;
}

/** Larger files are left to the server: decoding them here would take longer than sending the first frames. */
const MOST_BYTES = 400 * 1024 * 1024;

/** Looks at picked files before anything is sent; results by the arrival's id, for as long as the page lives. */
class Looks {
  private seen: ReadonlyMap<string, SeenFile> = new Map();
  private readonly files = new Map<string, Blob>();
  private readonly listeners = new Set<() => void>();
  private worker: Worker | null = null;
  private options: Omit<LookOptions, 'view'> = { species: null, weightKg: null };

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  readonly read = (): ReadonlyMap<string, SeenFile> => this.seen;

  /** Species and weight of the patient: what is expected of depth depends on them. */
  about(options: Omit<LookOptions, 'view'>): void {
    this.options = options;
  }

  /** `view`: what its sender said of it before, on an earlier page. */
  start(arrivalId: string, file: Blob, view: ViewId | null = null): void {
    if (file.size > MOST_BYTES || this.seen.has(arrivalId)) return;
    this.files.set(arrivalId, file);
    this.put(arrivalId, { state: 'looking', look: null, view });
    this.ask(arrivalId, view);
  }

  /** The sender says which view it is: what is asked of the pictures depends on it. */
  name(arrivalId: string, view: ViewId | null): void {
    const before = this.seen.get(arrivalId);
    if (!before || before.view === view) return;
    this.put(arrivalId, { ...before, view });
    if (before.look?.ok) this.ask(arrivalId, view);
  }

  private ask(id: string, view: ViewId | null): void {
    const file = this.files.get(id);
    if (!file) return;
    this.worker ??= this.open();
    this.worker.postMessage({ id, file, options: { ...this.options, view } } satisfies ToLookWorker, []);
  }

  private open(): Worker {
    const worker = new Worker(new URL('./look-worker.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<LookTold>) => {
      const before = this.seen.get(data.id);
      if (before) this.put(data.id, { ...before, state: 'seen', look: data.look });
    });
    worker.addEventListener('error', () => {
      // Out of memory, say: the server will look all the same.
      this.worker = null;
      for (const [id, file] of this.seen)
        if (file.state === 'looking')
          this.put(id, { ...file, state: 'seen', look: { ok: false, code: 'LOOK_FAILED' } });
    });
    return worker;
  }

  private put(id: string, file: SeenFile): void {
    this.seen = new Map(this.seen).set(id, file);
    for (const listener of this.listeners) listener();
  }
}

export const looks = new Looks();

/** All files looked at on this page, by arrival. */
export function useLooks(options: Omit<LookOptions, 'view'>): ReadonlyMap<string, SeenFile> {
  useEffect(() => looks.about(options), [options.species, options.weightKg]);
  return useSyncExternalStore(looks.subscribe, looks.read);
}
