import type { PatchReply, RouteName } from '@chordae/contract';
import type { Patch } from '../patch-queue';
import { ApiError, isPassing } from '../route-fetch';
import { conflictOf, keptPatch, keptReply, patchToSend, rowAfter } from './chain';
import type { DeviceStore, Finished, KeptConflict, NewOp, Op, RowState } from './kept';
import { conflictKey, rowKey } from './kept';

export interface OutboxPorts {
  readonly store: DeviceStore;
  /** Sends one op to the server and gives its reply; throws ApiError. */
  readonly send: (op: Op, body: unknown) => Promise<unknown>;
  /** The member to whom the server answers now; null when it answers to nobody. Throws when there is no line. */
  readonly whoAmI: () => Promise<string | null>;
  /** Runs alone in this browser: two tabs must not send one op at the same time. */
  readonly alone: (work: () => Promise<void>) => Promise<void>;
  readonly later: (run: () => void, ms: number) => () => void;
  /** Whether a line may be there; false only when the browser knows that there is none. */
  readonly mayTry: () => boolean;
  /** Told before an op is let go, so that what it changed stays in sight; `watched` when its page still waits for it. */
  readonly taken: (op: Op, reply: unknown, watched: boolean) => Promise<void>;
  /** Puts into a body what only sending knows: revisions that earlier ops have reached. */
  readonly fill?: (op: Op, revisionOf: (row: string) => Promise<number | null>) => Promise<unknown>;
}

interface Waiter {
  readonly resolve: (reply: unknown) => void;
  readonly reject: (error: unknown) => void;
}

/** A browser may not tell that the network is back: it is tried at least so often, and costs one small question. */
const LONGEST_PAUSE_MS = 15_000;

/** So often a service may stumble over the same op before the others go past it. */
const MOST_STUMBLES = 6;

/**
 * Writes that wait for the line. Every write is on the disk before it is sent, goes in the order in which it was made,
 * one at a time, and is let go only when the server has said that it has it. What the server refuses stays, with its
 * sentence, and holds back only what rests on it.
 */
export class Outbox {
  private all: readonly Op[] = [];
  private open: readonly KeptConflict[] = [];
  private readonly waiters = new Map<string, Waiter>();
  private readonly listeners = new Set<() => void>();
  private password: string | null = null;
  private running: Promise<void> | null = null;
  private again = false;
  private afresh = false;
  private cancel: (() => void) | null = null;
  private failures = 0;
  private member: string | null = null;
  private confirmed = false;
  private practices: ReadonlySet<string> | null = null;

  constructor(private readonly ports: OutboxPorts) {}

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  /** Everything that waits or was refused, of all members of this device, in order. */
  readonly read = (): readonly Op[] => this.all;
  readonly conflicts = (): readonly KeptConflict[] => this.open;

  /** Reads what an earlier page left, or another tab has changed. */
  async reload(): Promise<void> {
    this.all = await this.ports.store.ops();
    this.open = await this.ports.store.conflicts();
    this.tell();
  }

  /**
   * Whose ops are sent from here; `confirmed` when the server itself has just said so. What is kept of a practice that is
   * not named is not sent: its member has left it.
   */
  setMember(memberId: string | null, confirmed: boolean, practices?: ReadonlySet<string>): void {
    if (memberId !== this.member) this.password = null;
    this.practices = practices ?? null;
    this.member = memberId;
    this.confirmed = confirmed && memberId !== null;
    if (this.confirmed) this.kick();
  }

  /**
   * Keeps a write and sends it when its turn comes. Resolves with the server's reply where the line is there, else with
   * what `meanwhile` gives as soon as the write is on the disk. Rejects when the server refuses it while the page waits.
   */
  async write(draft: NewOp, meanwhile: (op: Op) => unknown, password?: string): Promise<unknown> {
    const op = await this.ports.store.addOp(draft, (made, before) =>
      made.row
        ? {
            ...made,
            body: keptPatch(
              made.body as Patch,
              before.map((o) => o.body as Patch),
            ),
          }
        : made,
    );
    this.all = [...this.all, op];
    if (password !== undefined) this.password = password;
    this.tell();
    const answer = new Promise<unknown>((resolve, reject) => this.waiters.set(op.id, { resolve, reject }));
    // Once refused before, others stand in the way, or no line: the page goes on with what is kept.
    const unsigned = op.needsPassword && password === undefined;
    if (unsigned || !this.ports.mayTry() || this.failures > 0 || this.heldBack().has(op.seq))
      this.answer(op, meanwhile(op));
    else void this.whenStopped(op, () => meanwhile(op));
    this.kick();
    return answer;
  }

  /** A run that ends without this op: the line went, or something before it must be answered first. */
  private async whenStopped(op: Op, meanwhile: () => unknown): Promise<void> {
    await Promise.resolve();
    while (this.waiters.has(op.id)) {
      await (this.running ?? Promise.resolve());
      if (this.running === null) {
        this.answer(op, meanwhile());
        return;
      }
    }
  }

  private answer(op: Op, reply: unknown): void {
    this.waiters.get(op.id)?.resolve(reply);
    if (this.waiters.delete(op.id)) this.tell();
  }

  /** Whether the page that made an op still waits for its reply: what it says is then its page's to show. */
  isWatched(id: string): boolean {
    return this.waiters.has(id);
  }

  /** The line is back, or a person wants it: what had failed counts no more. */
  kickAfresh(): void {
    this.failures = 0;
    this.afresh = this.running !== null;
    this.kick();
  }

  /** Sends what waits, now. */
  kick(): void {
    this.cancel?.();
    this.cancel = null;
    if (this.running) {
      this.again = true;
      return;
    }
    this.running = this.ports
      .alone(() => this.run())
      .catch(() => undefined)
      .then(() => {
        this.running = null;
        // A run that met no line says nothing new by running again at once.
        const again = this.again && (this.failures === 0 || this.afresh);
        this.again = false;
        this.afresh = false;
        if (again) this.kick();
        else this.planNext();
        this.tell();
      });
  }

  busy(): boolean {
    return this.running !== null;
  }

  /** Resolves when the run that is on, if any, has ended. */
  async rest(): Promise<void> {
    while (this.running) await this.running;
  }

  private planNext(): void {
    if (this.failures === 0 || !this.all.some((o) => this.isMine(o) && o.state === 'waiting')) return;
    this.cancel = this.ports.later(
      () => this.kick(),
      Math.min(LONGEST_PAUSE_MS, 1000 * 2 ** Math.min(this.failures, 6)),
    );
  }

  private isMine(op: Op): boolean {
    // What is about the person alone names no practice.
    const here = op.practiceId === '' || (this.practices?.has(op.practiceId) ?? true);
    return op.memberId === this.member && here;
  }

  /** Numbers of the ops that wait for a person: refused, without a password, or resting on such a one. */
  heldBack(): ReadonlySet<number> {
    return heldBack(this.all, this.password !== null);
  }

  private async run(): Promise<void> {
    await this.reload();
    if (!this.all.some((o) => this.isMine(o) && o.state === 'waiting')) {
      this.failures = 0;
      return;
    }
    if (!this.ports.mayTry()) {
      this.failures = Math.max(1, this.failures);
      return;
    }
    if (!this.confirmed && !(await this.confirm())) return;
    for (;;) {
      const held = this.heldBack();
      const op = this.all.find((o) => this.isMine(o) && o.state === 'waiting' && !held.has(o.seq));
      if (!op || !this.member) break;
      if (!(await this.sendOne(op))) break;
    }
    this.password = null;
  }

  /** Nothing is sent in the name of somebody who is not signed in any more. */
  private async confirm(): Promise<boolean> {
    try {
      this.confirmed = (await this.ports.whoAmI()) === this.member && this.member !== null;
    } catch {
      this.failures += 1;
    }
    return this.confirmed;
  }

  /** false when the run must stop here. */
  private async sendOne(op: Op): Promise<boolean> {
    const { store } = this.ports;
    const row = op.row ? await store.row(op.memberId, op.row) : null;
    const open = this.open.filter((c) => c.memberId === op.memberId && c.row === op.row);
    const split = op.row ? patchToSend(op.body as Patch, row, open) : null;
    try {
      let reply: unknown = null;
      if (split === null) reply = await this.ports.send(op, await this.bodyOf(op));
      else if (split.patch) reply = await this.ports.send(op, split.patch);
      else reply = { ...keptReply(op.body as Patch), applied: [] };
      this.failures = 0;
      const done = split ? this.afterPatch(op, row, reply as PatchReply, split.held, split.chosen) : NOTHING;
      await this.ports.taken(op, reply, this.waiters.has(op.id));
      await store.finish(op, done);
      this.forgetHere(op, done);
      this.answer(op, reply);
      return true;
    } catch (error) {
      return this.failed(op, error);
    }
  }

  private async bodyOf(op: Op): Promise<unknown> {
    const revisionOf = async (row: string) =>
      (await this.ports.store.row(op.memberId, row))?.revision ?? null;
    const body = this.ports.fill ? await this.ports.fill(op, revisionOf) : op.body;
    return op.needsPassword ? { ...(body as object), password: this.password } : body;
  }

  private afterPatch(
    op: Op,
    row: RowState | null,
    reply: PatchReply,
    held: readonly KeptConflict[],
    chosen: readonly string[],
  ): Finished {
    const { memberId, practiceId, keys, about, route, params } = op;
    const where = { memberId, practiceId, keys, about, route, params };
    const of = { ...where, row: op.row ?? '', revision: reply.revision };
    return {
      row: rowAfter(row, { key: rowKey(memberId, op.row ?? ''), memberId, practiceId }, reply),
      conflicts: [...held, ...reply.conflicts.map((c) => conflictOf(c, of))],
      chosen,
    };
  }

  private forgetHere(op: Op, done: Finished): void {
    this.all = this.all.filter((o) => o.seq !== op.seq);
    const gone = new Set(done.chosen.map((field) => conflictKey(op.memberId, op.row ?? '', field)));
    const fresh = new Set(done.conflicts.map((c) => c.key));
    this.open = [...this.open.filter((c) => !gone.has(c.key) && !fresh.has(c.key)), ...done.conflicts];
    this.tell();
  }

  private async failed(op: Op, error: unknown): Promise<boolean> {
    const says = error instanceof Error ? error.message : 'It could not be sent.';
    const code = error instanceof ApiError ? error.code : 'NO_NETWORK';
    if (code === 'SIGNED_OUT') {
      this.confirmed = false;
      return false;
    }
    if (code === 'PASSWORD_WRONG' && op.needsPassword && !this.waiters.has(op.id)) {
      this.password = null;
      await this.change({ ...op, says, code });
      return true;
    }
    const stumbles = code === 'INTERNAL' ? op.tries + 1 : op.tries;
    if (code === 'NO_NETWORK' || (isPassing(error) && stumbles < MOST_STUMBLES)) {
      this.failures += 1;
      if (stumbles !== op.tries) await this.change({ ...op, tries: stumbles });
      return false;
    }
    const waiter = this.waiters.get(op.id);
    if (waiter) {
      // Its page stands there and says it beside the field, where the text still is.
      await this.ports.store.dropOp(op.seq);
      this.all = this.all.filter((o) => o.seq !== op.seq);
      this.waiters.delete(op.id);
      waiter.reject(error);
      this.tell();
    } else await this.change({ ...op, state: 'refused', says, code, tries: stumbles });
    return true;
  }

  private async change(op: Op): Promise<void> {
    await this.ports.store.putOp(op);
    this.all = this.all.map((o) => (o.seq === op.seq ? op : o));
    this.tell();
  }

  /** Tries a refused op again, in its old place. */
  async tryAgain(seq: number): Promise<void> {
    const op = this.all.find((o) => o.seq === seq);
    if (op) await this.change({ ...op, state: 'waiting', tries: 0, says: null, code: null });
    this.kick();
  }

  /** Throws one op away, after a person was asked. */
  async throwAway(seq: number): Promise<void> {
    await this.ports.store.dropOp(seq);
    this.all = this.all.filter((o) => o.seq !== seq);
    this.tell();
    this.kick();
  }

  /** The password for what must be signed: kept in memory for one run only. */
  givePassword(password: string): void {
    this.password = password;
    this.kick();
  }

  /** A person's newer text in a field that waits for a choice. */
  async retype(row: string, field: string, yours: unknown): Promise<void> {
    const at = this.open.find((c) => c.row === row && c.field === field && c.memberId === this.member);
    if (!at) return;
    const next = { ...at, yours };
    this.open = this.open.map((c) => (c.key === at.key ? next : c));
    await this.ports.store.putConflict(next);
    this.tell();
  }

  /** A person has chosen. One's own value, where it was kept, is then written like any other. */
  async settle(row: string, field: string): Promise<void> {
    const at = this.open.find((c) => c.row === row && c.field === field && c.memberId === this.member);
    if (!at) return;
    this.open = this.open.filter((c) => c.key !== at.key);
    this.tell();
    await this.ports.store.dropConflict(at.key);
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}

const NOTHING: Finished = { row: null, conflicts: [], chosen: [] };

/** What cannot go before a person has acted, and all that rests on it. */
export function heldBack(ops: readonly Op[], withPassword = false): ReadonlySet<number> {
  const stopped = new Set<string>();
  const held = new Set<number>();
  for (const op of ops) {
    const of = (keys: readonly string[]) => keys.map((key) => `${op.memberId}|${key}`);
    const own = op.state === 'refused' || (op.needsPassword && !withPassword);
    if (!own && !of([...op.keys, ...op.needs]).some((key) => stopped.has(key))) continue;
    held.add(op.seq);
    for (const key of of(op.keys)) stopped.add(key);
  }
  return held;
}

/** Routes whose body is a patch with `base` and `fields`. */
export function isPatch(method: string, route: RouteName): boolean {
  return method === 'PATCH' && route !== 'patchClip';
}
