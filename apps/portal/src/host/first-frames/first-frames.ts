import type { FanProposal, MaskDecisionSaid, ViewId } from '@chordae/contract';
import { ApiError, isPassing } from '../api';
import type { FirstFrameMade, FirstFrameTold, ToFirstFrameWorker } from './first-frame-worker';

/** Where the first frame of a file on its way stands. */
export type FirstFrameState =
  | { readonly state: 'making'; readonly sinceMs: number }
  | { readonly state: 'ready'; readonly jpeg: Uint8Array }
  | { readonly state: 'sent' }
  /** A person decides first; the picture is for this computer only. */
  | {
      readonly state: 'needs-decision';
      readonly picture: string;
      readonly widthPx: number;
      readonly heightPx: number;
      /** The sector, where it was found surely enough to be offered. */
      readonly fan: FanProposal | null;
    }
  /** Only the server can read the file, or it was refused: the clip will have to do. */
  | { readonly state: 'none' };

export interface FirstFramePorts {
  readonly make: (ask: ToFirstFrameWorker, told: (made: FirstFrameMade) => void) => void;
  /** Nothing smaller waits, and what the file belongs to is on the server. */
  readonly mayGo: (arrivalId: string) => boolean;
  readonly announce: (arrivalId: string) => Promise<void>;
  readonly put: (
    arrivalId: string,
    entry: { view: ViewId | null; decision: MaskDecisionSaid | null; jpegBase64: string },
  ) => Promise<void>;
  readonly viewOf: (arrivalId: string) => ViewId | null;
  readonly sent: (arrivalId: string, decision: MaskDecisionSaid | null) => void;
  readonly later: (run: () => void, ms: number) => void;
  readonly nowMs: () => number;
  readonly pictureUrl: (jpeg: Uint8Array) => string;
  /** Lets an unmasked picture go, once nobody has to decide on it any more. */
  readonly forget: (pictureUrl: string) => void;
}

/** A file waits so long for its first frame to be made; one that takes longer is sent when it is there. */
const MAKING_MS = 10_000;
const AT_ONCE = 2;

/** Small masked pictures that go to the server before the bytes of any file do. */
export class FirstFrames {
  private states: ReadonlyMap<string, FirstFrameState> = new Map();
  private readonly decisions = new Map<string, MaskDecisionSaid>();
  private readonly files = new Map<string, Blob>();
  private readonly going = new Set<string>();
  private readonly listeners = new Set<() => void>();
  private resting = false;
  private failures = 0;

  constructor(private readonly ports: FirstFramePorts) {}

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  readonly read = (): ReadonlyMap<string, FirstFrameState> => this.states;

  start(arrivalId: string, file: Blob, decision: MaskDecisionSaid | null): void {
    if (this.states.has(arrivalId)) return;
    this.files.set(arrivalId, file);
    if (decision) this.decisions.set(arrivalId, decision);
    this.make(arrivalId);
  }

  /** A person's word on what may leave: the picture is made by it, and it goes along for the clip. */
  decide(arrivalId: string, decision: MaskDecisionSaid): void {
    this.decisions.set(arrivalId, decision);
    if (this.files.has(arrivalId)) this.make(arrivalId);
  }

  /** Resolves when its picture is made, will not be made, or takes too long to be waited for. */
  made(arrivalId: string): Promise<void> {
    return new Promise((resolve) => {
      const look = () => {
        if (this.beingMade(this.states.get(arrivalId))) return;
        stop();
        resolve();
      };
      const stop = this.subscribe(look);
      look();
    });
  }

  drop(arrivalId: string): void {
    if (!this.states.has(arrivalId)) return;
    this.files.delete(arrivalId);
    this.decisions.delete(arrivalId);
    this.forgetPicture(arrivalId);
    const next = new Map(this.states);
    next.delete(arrivalId);
    this.states = next;
    this.tell();
  }

  clear(): void {
    for (const arrivalId of this.states.keys()) this.forgetPicture(arrivalId);
    this.states = new Map();
    for (const of of [this.files, this.decisions, this.going]) of.clear();
    this.tell();
  }

  /** Whether any waits that can go or is being made: files stand back for them. */
  waiting(): boolean {
    // While the line rests, files may try it for themselves.
    if (this.resting) return false;
    return [...this.states].some(
      ([id, s]) => this.beingMade(s) || (s.state === 'ready' && this.ports.mayGo(id)),
    );
  }

  private beingMade(s: FirstFrameState | undefined): boolean {
    return s?.state === 'making' && s.sinceMs > this.ports.nowMs() - MAKING_MS;
  }

  /** Something that stood before them may have gone. */
  look(): void {
    this.pump();
  }

  /** Tries again after a cut or a signing in. */
  kick(): void {
    this.resting = false;
    this.pump();
  }

  private make(arrivalId: string): void {
    const file = this.files.get(arrivalId);
    if (!file) return;
    this.set(arrivalId, { state: 'making', sinceMs: this.ports.nowMs() });
    const decision = this.decisions.get(arrivalId) ?? null;
    let done = false;
    const told = (made: FirstFrameMade) => {
      if (done || !this.states.has(arrivalId)) return;
      done = true;
      // Another word was said meanwhile: what was made by the older one goes nowhere.
      if ((this.decisions.get(arrivalId) ?? null) !== decision) return;
      if (made.kind === 'none') return this.set(arrivalId, { state: 'none' });
      if (made.kind === 'made') this.set(arrivalId, { state: 'ready', jpeg: made.jpeg });
      else
        this.set(arrivalId, {
          state: 'needs-decision',
          picture: this.ports.pictureUrl(made.jpeg),
          widthPx: made.widthPx,
          heightPx: made.heightPx,
          fan: made.fan,
        });
      this.pump();
    };
    this.ports.make({ id: arrivalId, file, decision }, told);
    // Whoever waits for it looks again then.
    this.ports.later(() => this.tell(), MAKING_MS);
  }

  private pump(): void {
    if (this.resting) return;
    for (const [arrivalId, s] of this.states) {
      if (this.going.size >= AT_ONCE) return;
      if (s.state !== 'ready' || this.going.has(arrivalId) || !this.ports.mayGo(arrivalId)) continue;
      this.going.add(arrivalId);
      void this.send(arrivalId, s.jpeg).finally(() => {
        this.going.delete(arrivalId);
        this.pump();
      });
    }
  }

  private async send(arrivalId: string, jpeg: Uint8Array): Promise<void> {
    const decision = this.decisions.get(arrivalId) ?? null;
    try {
      await this.ports.announce(arrivalId);
      const view = this.ports.viewOf(arrivalId);
      await this.ports.put(arrivalId, { view, decision, jpegBase64: base64Of(jpeg) });
      this.failures = 0;
      const now = this.states.get(arrivalId);
      if (now?.state !== 'ready' || now.jpeg !== jpeg) return;
      this.set(arrivalId, { state: 'sent' });
      this.ports.sent(arrivalId, decision);
    } catch (error) {
      const signedOut = error instanceof ApiError && error.code === 'SIGNED_OUT';
      if (!signedOut && !isPassing(error)) return this.set(arrivalId, { state: 'none' });
      this.resting = true;
      this.failures += 1;
      // Signed out, it waits for the kick of signing in.
      if (!signedOut)
        this.ports.later(() => this.kick(), Math.min(10_000, 500 * 2 ** Math.min(this.failures, 5)));
    }
  }

  private set(arrivalId: string, state: FirstFrameState): void {
    this.forgetPicture(arrivalId);
    this.states = new Map(this.states).set(arrivalId, state);
    this.tell();
  }
  private forgetPicture(arrivalId: string): void {
    const s = this.states.get(arrivalId);
    if (s?.state === 'needs-decision') this.ports.forget(s.picture);
  }
  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}

function base64Of(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += String.fromCodePoint(byte);
  return btoa(text);
}

const openWorker = () => new Worker(new URL('./first-frame-worker.ts', import.meta.url), { type: 'module' });

/**
 * Makes pictures in a worker of its own: it must not wait behind clips that are looked at whole. Each asking has a number of
 * its own: what was made by an older word must never be taken for what a newer one allows.
 */
export function makeInWorker(
  open: () => Pick<Worker, 'addEventListener' | 'postMessage'> = openWorker,
): FirstFramePorts['make'] {
  let worker: ReturnType<typeof open> | null = null;
  let asked = 0;
  const waiting = new Map<string, (made: FirstFrameMade) => void>();
  return (ask, told) => {
    if (!worker) {
      worker = open();
      worker.addEventListener('message', (event) => {
        const { data } = event as MessageEvent<FirstFrameTold>;
        waiting.get(data.id)?.(data.made);
        waiting.delete(data.id);
      });
      worker.addEventListener('error', () => {
        worker = null;
        for (const tell of waiting.values()) tell({ kind: 'none', code: 'FIRST_FRAME_FAILED' });
        waiting.clear();
      });
    }
    asked += 1;
    const id = String(asked);
    waiting.set(id, told);
    worker.postMessage({ ...ask, id });
  };
}
