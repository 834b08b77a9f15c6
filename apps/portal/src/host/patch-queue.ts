import type { FieldConflict, PatchReply } from '@chordae/contract';

export type Fields = Readonly<Record<string, unknown>>;
export type SavedState = 'saved' | 'changed' | 'saving' | 'failed';

export interface PatchQueueView {
  readonly state: SavedState;
  /** Values that the server has not confirmed yet: shown over what it says. */
  readonly own: Fields;
  readonly conflicts: readonly FieldConflict[];
  readonly problem: string | null;
}

export interface Patch {
  base: number;
  /** Fields of which another revision than `base` was seen. */
  bases: Record<string, number>;
  fields: Record<string, unknown>;
}
type Send = (patch: Patch) => Promise<PatchReply>;
type Later = (run: () => void, ms: number) => () => void;

const wait: Later = (run, ms) => {
  const timer = setTimeout(run, ms);
  return () => clearTimeout(timer);
};

/**
 * Autosave of one row by field patches: collects what was typed, sends one patch at a time with the revision it was
 * typed on, keeps everything when a patch fails, and holds conflicts until a person has chosen.
 */
export class PatchQueue {
  /** The newest revision that a reply named: what is signed or sent next stands at it. */
  private revision = 0;
  private bases: Record<string, number> = {};
  private pending: Record<string, unknown> = {};
  private sending: Record<string, unknown> = {};
  private conflicts: FieldConflict[] = [];
  private problem: string | null = null;
  private busy = false;
  private cancel: (() => void) | null = null;
  private failures = 0;
  private view: PatchQueueView = { state: 'saved', own: {}, conflicts: [], problem: null };
  private readonly listeners = new Set<() => void>();

  constructor(
    private base: number,
    private readonly send: Send,
    private readonly options: {
      /** Awaited after each patch, so that the confirmed value stands before the own one is let go. */
      readonly afterSaved?: () => Promise<unknown>;
      readonly sentenceOf?: (error: unknown) => string;
      readonly delayMs?: number;
      /** Whether trying again by itself can help: the line was cut, not the value refused. */
      readonly mayRetry?: (error: unknown) => boolean;
      /** A person has chosen in a conflict, or typed on in one: what is kept of it outside this page follows. */
      readonly onChosen?: (field: string) => void;
      readonly onRetyped?: (field: string, yours: unknown) => void;
      readonly later?: Later;
    } = {},
  ) {}

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  readonly read = (): PatchQueueView => this.view;

  /** The newest revision seen. What was typed before, or waits for a choice, rests on the older one still. */
  seen(revision: number): void {
    if (revision <= this.base) return;
    const held = [
      ...Object.keys(this.sending),
      ...Object.keys(this.pending),
      ...this.conflicts.map((c) => c.field),
    ];
    this.bases = Object.fromEntries(held.map((field) => [field, this.bases[field] ?? this.base]));
    this.base = revision;
  }

  set(fields: Fields): void {
    Object.assign(this.pending, fields);
    this.holdConflicting();
    this.changed();
    if (Object.keys(this.pending).length > 0) this.flushIn(this.options.delayMs ?? 600);
  }

  /** Typing on in a field that is in conflict goes on in one's own text; nothing is sent until somebody has chosen. */
  private holdConflicting(): void {
    this.conflicts = this.conflicts.map((c) => {
      if (!(c.field in this.pending)) return c;
      const { [c.field]: yours, ...rest } = this.pending;
      this.pending = rest;
      this.options.onRetyped?.(c.field, yours);
      return { ...c, yours };
    });
  }

  private flushIn(ms: number): void {
    this.cancel?.();
    this.cancel = (this.options.later ?? wait)(() => void this.flush(), ms);
  }

  /** A conflict that arose behind this page's back, at a revision: nothing of its field is sent before somebody has chosen. */
  adopt(conflict: FieldConflict, revision: number): void {
    const { field, yours, theirs, by } = conflict;
    if (this.conflicts.some((c) => c.field === field)) return;
    this.bases[field] = revision;
    this.conflicts = [...this.conflicts, { field, yours, theirs, by }];
    this.holdConflicting();
    this.changed();
  }

  /** Keeps one's own value, or lets the other's stand. */
  resolve(field: string, keep: 'yours' | 'theirs'): void {
    const conflict = this.conflicts.find((c) => c.field === field);
    if (conflict) this.options.onChosen?.(field);
    this.conflicts = this.conflicts.filter((c) => c.field !== field);
    if (conflict && keep === 'yours') this.set({ [field]: conflict.yours });
    else this.changed();
  }

  async flush(): Promise<void> {
    this.cancel?.();
    this.cancel = null;
    if (this.busy || Object.keys(this.pending).length === 0) return;
    this.busy = true;
    let again = false;
    this.sending = this.pending;
    this.pending = {};
    this.changed();
    try {
      const reply = await this.send({
        base: this.base,
        bases: Object.fromEntries(Object.entries(this.bases).filter(([field]) => field in this.sending)),
        fields: this.sending,
      });
      // The base itself stays: a reply does not say what others wrote in other fields.
      Object.assign(this.bases, reply.stands);
      for (const c of reply.conflicts) this.bases[c.field] = reply.revision;
      this.revision = Math.max(this.revision, reply.revision);
      const fresh = new Set(reply.conflicts.map((c) => c.field));
      // Adopted while the reply was on its way, and typed on in since: the newer text is one's own side.
      const met = reply.conflicts.map((c) => {
        const adopted = this.conflicts.find((known) => known.field === c.field);
        return adopted ? { ...c, yours: adopted.yours } : c;
      });
      this.conflicts = [...this.conflicts.filter((c) => !fresh.has(c.field)), ...met];
      this.holdConflicting();
      this.problem = null;
      this.failures = 0;
      await this.options.afterSaved?.().catch(() => undefined);
    } catch (error) {
      this.pending = { ...this.sending, ...this.pending };
      this.problem = this.options.sentenceOf?.(error) ?? 'Not saved yet.';
      again = this.options.mayRetry?.(error) ?? false;
      this.failures += 1;
    }
    this.sending = {};
    this.busy = false;
    this.changed();
    // 2 s, 4 s, … at most half a minute: a stopped server is found again without anybody typing.
    if (again && this.cancel === null) this.flushIn(Math.min(30_000, 1000 * 2 ** Math.min(this.failures, 5)));
    if (this.problem === null && Object.keys(this.pending).length > 0) await this.flush();
  }

  /**
   * Waits until all that was typed is on the server, and gives the revision it stands at: what is signed or sent next
   * is then what is seen. Throws a sentence when something could not be saved or a conflict waits for a choice.
   */
  async settle(): Promise<number> {
    for (let tries = 0; tries < 100 && (this.busy || Object.keys(this.pending).length > 0); tries += 1) {
      if (this.busy)
        await new Promise((resolve) => (this.options.later ?? wait)(() => resolve(undefined), 50));
      else await this.flush();
      if (!this.busy && this.problem !== null) break;
    }
    if (this.problem !== null) throw new Error(this.problem);
    if (this.busy || Object.keys(this.pending).length > 0)
      throw new Error('Not everything is saved yet. Try again in a moment.');
    if (this.conflicts.length > 0)
      throw new Error('Somebody else wrote in the same field: choose first which text stands.');
    return Math.max(this.base, this.revision);
  }

  private changed(): void {
    const waiting = Object.keys(this.pending).length > 0;
    this.view = {
      state: this.busy
        ? 'saving'
        : this.problem !== null && waiting
          ? 'failed'
          : waiting
            ? 'changed'
            : 'saved',
      own: {
        ...this.sending,
        // Typed on in since it was sent: the newer text is shown.
        ...Object.fromEntries(this.conflicts.map((c) => [c.field, c.yours])),
        ...this.pending,
      },
      conflicts: this.conflicts,
      problem: this.problem,
    };
    for (const listener of this.listeners) listener();
  }
}
