import type { Me, RouteName } from '@chordae/contract';
import type { Ask } from '../route-fetch';
import { ApiError, fetchRoute, noNetwork, noRoom, pathOf } from '../route-fetch';
import { uuidv7 } from '../uuid';
import type { DeviceStore, NewOp, Op } from './kept';
import { replyKey } from './kept';
import { type Asked, KeptReplies } from './kept-replies';
import { Line } from './line';
import { Outbox } from './outbox';
import { READS } from './read-routes';
import { namedIn, WRITES } from './write-routes';

type Body = { readonly body?: unknown };
type Words = Record<string, string>;
type Before = (op: Pick<Op, 'memberId' | 'params'>) => Promise<void>;

export interface DevicePorts {
  /** Resolves when the store is open. */
  readonly ready: Promise<void>;
  readonly store: DeviceStore;
  /** Whether what is stored outlives the page. Where it does not, nothing is said to be kept. */
  readonly durable: boolean;
  readonly fetchRoute: typeof fetchRoute;
  readonly alone: (work: () => Promise<void>) => Promise<void>;
  readonly later: (run: () => void, ms: number) => () => void;
  readonly mayTry: () => boolean;
  readonly now: () => Date;
  /** Told when what waits cannot go because nobody is signed in any more: the page then asks. */
  readonly signedOut?: () => void;
}

/** A question that has waited so long is answered from what is kept; a write so old is tried anew. */
const READ_MS = 20_000;
const WRITE_MS = 60_000;

/** Routes about the person alone, at whichever practices: their address names none. */
const OWN: ReadonlySet<RouteName> = new Set([
  'listRounds',
  'getRound',
  'putRound',
  'patchRound',
  'closeRound',
  'findServed',
]);

/** Between the pages and the server: answers questions and takes writes while there is no line. */
export class Device {
  readonly outbox: Outbox;
  readonly line = new Line();
  private readonly replies: KeptReplies;
  private me: Me | null = null;
  private readonly keptSince = new Map<string, string | null>();
  private readonly listeners = new Set<() => void>();
  private readonly onMe = new Set<(me: Me, fromServer: boolean) => void>();
  private readonly onKept = new Set<() => void>();
  private takenUnseen = false;
  private readonly onSent = new Set<() => void>();
  private readonly first = new Map<RouteName, Before>();

  constructor(private readonly ports: DevicePorts) {
    this.replies = new KeptReplies(() => ports.store);
    this.outbox = new Outbox({
      get store() {
        return ports.store;
      },
      alone: ports.alone,
      later: ports.later,
      mayTry: ports.mayTry,
      send: (op, body) => this.send(op, body),
      whoAmI: () => this.whoAmI(),
      taken: async (op, reply, watched) => {
        if (this.me) await softly(this.replies.taken(this.me, op, reply));
        if (!watched) this.takenUnseen = true;
      },
      fill: async (op, revisionOf) => {
        const fill = WRITES[op.route]?.fill;
        return fill ? fill(op.body as never, op.params, revisionOf) : op.body;
      },
    });
    this.outbox.subscribe(() => this.tellSent());
  }

  get store(): DeviceStore {
    return this.ports.store;
  }
  get durable(): boolean {
    return this.ports.durable;
  }
  member(): Me | null {
    return this.me;
  }
  now(): Date {
    return this.ports.now();
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  /** Called when somebody is known to be signed in: by the server's word, or by what is kept. */
  whenMe(listener: (me: Me, fromServer: boolean) => void): void {
    this.onMe.add(listener);
  }
  /** Called when a write is kept for later. */
  whenKept(listener: () => void): void {
    this.onKept.add(listener);
  }
  /** Called after waiting writes have reached the server behind a page's back. */
  whenSent(listener: () => void): void {
    this.onSent.add(listener);
  }

  /** What has to be done before a kept write of this route goes; where that fails, it waits on. */
  before(route: RouteName, work: Before): void {
    this.first.set(route, work);
  }
  /** Since when a shown answer is kept: undefined when the server gave it, null when only this device made it. */
  asOf(route: RouteName, params: Ask['params'], query: Ask['query'] = {}): string | null | undefined {
    return this.keptSince.get(pathOf(route, params, query));
  }

  /** Answers a call of a page. */
  readonly call = async (route: RouteName, ask: Ask & Body): Promise<unknown> => {
    await this.ports.ready;
    if (route === 'me') return this.askMe();
    if (route === 'signIn') {
      const me = (await this.fetch(route, ask, WRITE_MS)).reply as Me;
      await this.adopt(me, true);
      return me;
    }
    const mine = OWN.has(route) || this.isMine(String(ask.params?.['practiceId'] ?? ''));
    if (this.ports.durable && mine && this.me) {
      if (READS[route]) return this.read(this.me, route, ask);
      if (WRITES[route]) return this.write(this.me, route, ask);
    }
    return (await this.fetch(route, ask, null)).reply;
  };

  private isMine(practiceId: string): boolean {
    return this.me?.organisations.some((o) => o.kind === 'practice' && o.id === practiceId) ?? false;
  }

  private async fetch(route: RouteName, ask: Ask & Body, mostMs: number | null) {
    const { signal, ...rest } = ask;
    const limit = mostMs === null ? undefined : AbortSignal.timeout(mostMs);
    const either = signal && limit ? AbortSignal.any([signal, limit]) : (signal ?? limit);
    try {
      const answered = await this.ports.fetchRoute(route, either ? { ...rest, signal: either } : rest);
      this.line.set('up');
      return answered;
    } catch (error) {
      const code = error instanceof ApiError ? error.code : null;
      if (code !== null) this.line.set(code === 'NO_NETWORK' ? 'down' : 'up');
      throw error;
    }
  }

  // ---- who ----------------------------------------------------------------------------------------------------

  private async askMe(): Promise<Me> {
    if ((await this.store.note<boolean>('sign-out-owed')) === true) await this.endSession();
    try {
      const me = (await this.fetch('me', {}, READ_MS)).reply as Me;
      await this.adopt(me, true);
      return me;
    } catch (error) {
      if (!hasNoLine(error)) {
        if (error instanceof ApiError && error.code === 'SIGNED_OUT') this.outbox.setMember(null, false);
        throw error;
      }
      const memberId = await this.store.note<string>('member');
      const kept = memberId ? await this.store.reply(replyKey(memberId, '/api/me')) : null;
      if (!kept) throw error;
      await this.adopt(kept.reply as Me, false);
      return kept.reply as Me;
    }
  }

  /** Signed out without a line: the session is ended as soon as there is one, before anything else is asked. */
  private async endSession(): Promise<void> {
    try {
      await this.fetch('signOut', {}, WRITE_MS);
    } catch (error) {
      if (!(error instanceof ApiError && error.code === 'SIGNED_OUT'))
        throw new ApiError(
          'SIGNED_OUT',
          'You signed out on this device. Sign in again when there is a line.',
        );
    }
    await this.store.putNote('sign-out-owed', false);
  }

  private async whoAmI(): Promise<string | null> {
    try {
      const me = (await this.fetch('me', {}, READ_MS)).reply as Me;
      if (me.member.id === this.me?.member.id) await this.adopt(me, true, false);
      return me.member.id;
    } catch (error) {
      if (!(error instanceof ApiError && error.code === 'SIGNED_OUT')) throw error;
      this.ports.signedOut?.();
      return null;
    }
  }

  private async adopt(me: Me, fromServer: boolean, start = true): Promise<void> {
    const before = this.me?.member.id ?? (await this.store.note<string>('member'));
    this.me = me;
    if (fromServer && this.ports.durable) {
      const memberId = me.member.id;
      // What another person could look at is gone before this one sees anything; what they had not sent waits for them.
      if (before && before !== memberId) await this.store.wipe({ memberId: before }, true);
      await softly(this.keepMe(me));
    }
    for (const listener of this.onMe) listener(me, fromServer);
    if (!start) return;
    await this.outbox.reload();
    const practices = me.organisations.filter((o) => o.kind === 'practice').map((o) => o.id);
    this.outbox.setMember(me.member.id, fromServer, new Set(practices));
  }

  private async keepMe(me: Me): Promise<void> {
    const memberId = me.member.id;
    await this.store.putNote('member', memberId);
    await this.store.putNote('sign-out-owed', false);
    const asked = { route: 'me' as const, params: {}, query: {} };
    const key = replyKey(memberId, '/api/me');
    const at = this.ports.now().toISOString();
    await this.store.putReplies([{ ...asked, key, memberId, practiceId: null, reply: me, at }]);
  }

  /** Nobody works here any more: what this member kept goes, sent or not. */
  async forget(): Promise<void> {
    const memberId = this.me?.member.id;
    this.me = null;
    this.keptSince.clear();
    this.outbox.setMember(null, false);
    if (memberId) await this.store.wipe({ memberId });
    await this.store.putNote('member', null);
    await this.outbox.reload();
  }

  // ---- questions ----------------------------------------------------------------------------------------------

  private async read(me: Me, route: RouteName, ask: Ask): Promise<unknown> {
    const asked: Asked = { route, params: words(ask.params), query: words(ask.query) };
    const path = pathOf(route, ask.params, ask.query);
    try {
      const { reply, at } = await this.fetch(route, ask, READ_MS);
      await softly(this.replies.keep(me, asked, reply, at ?? this.ports.now().toISOString()));
      this.say(path, undefined);
      return await this.replies.shown(me, asked, reply, this.outbox.read());
    } catch (error) {
      // A case that was made here is not found there until it has been sent.
      const unknownThere = error instanceof ApiError && error.code === 'NOT_FOUND';
      // The page asks to sign in again; what was typed on it stays in sight meanwhile.
      const ended =
        error instanceof ApiError &&
        error.code === 'SIGNED_OUT' &&
        this.isMine(asked.params['practiceId'] ?? '');
      if (ended) this.ports.signedOut?.();
      if (!hasNoLine(error) && !unknownThere && !ended) throw error;
      const found = await this.replies.find(me, asked, this.outbox.read());
      if (!found || (unknownThere && found.at !== null)) throw error;
      this.say(path, found.at);
      return found.reply;
    }
  }

  private say(path: string, at: string | null | undefined): void {
    if (at === undefined && !this.keptSince.has(path)) return;
    if (at === undefined) this.keptSince.delete(path);
    else this.keptSince.set(path, at);
    for (const listener of this.listeners) listener();
  }

  // ---- writes -------------------------------------------------------------------------------------------------

  private async write(me: Me, route: RouteName, ask: Ask & Body): Promise<unknown> {
    const spec = WRITES[route];
    if (!spec) throw noNetwork();
    const { draft, password } = withoutPassword(this.opOf(me, route, ask));
    const meanwhile = (op: Op) => {
      for (const listener of this.onKept) listener();
      return spec.meanwhile(op);
    };
    try {
      return await this.outbox.write(draft, meanwhile, password);
    } catch (error) {
      if (error instanceof ApiError) throw error;
      // The disk is full. What would wait goes at once, unless something must go before it.
      if (this.outbox.read().some((o) => o.memberId === me.member.id)) throw noRoom();
      return await this.straight(route, ask);
    }
  }

  private async straight(route: RouteName, ask: Ask & Body): Promise<unknown> {
    try {
      await this.first.get(route)?.({ memberId: this.me?.member.id ?? '', params: words(ask.params) });
      return (await this.fetch(route, ask, WRITE_MS)).reply;
    } catch (error) {
      throw hasNoLine(error) ? noRoom() : error;
    }
  }

  private opOf(me: Me, route: RouteName, ask: Ask & Body): NewOp {
    const spec = WRITES[route];
    const params = words(ask.params);
    const keys = spec?.keys(params, ask.body, this.replies.homes) ?? [];
    const needs = spec?.needs?.(params, ask.body, this.replies.homes) ?? [];
    const named = [...keys, ...needs].map((key) => this.replies.nameOf(key)).find((name) => name !== null);
    return {
      id: uuidv7(),
      memberId: me.member.id,
      practiceId: params['practiceId'] ?? '',
      route,
      params,
      body: ask.body,
      keys,
      needs,
      row: spec?.row?.(params) ?? null,
      about: namedIn(route, ask.body) ?? named ?? this.namedByOps([...keys, ...needs]) ?? '',
      saidAt: this.ports.now().toISOString(),
      needsPassword: spec?.needsPassword ?? false,
    };
  }

  private namedByOps(keys: readonly string[]): string | null {
    return (
      this.outbox.read().find((o) => o.about !== '' && o.keys.some((k) => keys.includes(k)))?.about ?? null
    );
  }

  private async send(op: Op, body: unknown): Promise<unknown> {
    try {
      await this.first.get(op.route)?.(op);
      return (await this.fetch(op.route, { params: op.params, body }, WRITE_MS)).reply;
    } catch (error) {
      if (error instanceof ApiError && error.code === 'SIGNED_OUT') this.ports.signedOut?.();
      throw error;
    }
  }

  private tellSent(): void {
    if (!this.takenUnseen || this.outbox.busy()) return;
    this.takenUnseen = false;
    for (const listener of this.onSent) listener();
  }
}

/** A password is taken out of what is kept: it is used for one run, from memory, and stands on no disk. */
function withoutPassword(op: NewOp): { draft: NewOp; password: string | undefined } {
  if (!op.needsPassword) return { draft: op, password: undefined };
  const { password, ...body } = op.body as { password?: string };
  return { draft: { ...op, body }, password: password === '' ? undefined : password };
}

/** What is kept for later only: where the disk takes no more, the page goes on without. */
async function softly(kept: Promise<void>): Promise<void> {
  await kept.catch(() => undefined);
}

/** No answer, or only the word of something before the service that it is not there. */
function hasNoLine(error: unknown): boolean {
  return error instanceof ApiError && (error.code === 'NO_NETWORK' || error.code === 'STARTING');
}

function words(of: Readonly<Record<string, string | number>> | undefined): Words {
  return Object.fromEntries(Object.entries(of ?? {}).map(([key, value]) => [key, String(value)]));
}
