import { createHash } from 'node:crypto';
import type { Role } from '@chordae/contract';
import { sql } from 'drizzle-orm';
import { drizzle, type PostgresJsDatabase } from 'drizzle-orm/postgres-js';
import postgres from 'postgres';
import type { Clock } from '../clock';
import type { DatabaseRole } from './roles';

/** Who acts, as the database confirmed it. */
export interface Actor {
  readonly kind: 'member' | 'job' | 'service';
  readonly memberId: string | null;
  readonly name: string;
  readonly email: string;
  readonly memberships: readonly { practiceId: string | null; groupId: string | null; role: Role }[];
}

type AnyTx = Parameters<Parameters<PostgresJsDatabase['transaction']>[0]>[0];
declare const acting: unique symbol;
/** A transaction in which an actor has entered. Repositories accept nothing else, so a query without an actor does not compile. */
export type ActorTx = AnyTx & { readonly [acting]: true };

export interface Database {
  /** Runs `work` as the member of a session; null when the session is unknown, ended or expired. */
  withSession<T>(tokenHash: Buffer, work: (tx: ActorTx, actor: Actor) => Promise<T>): Promise<T | null>;
  /** Runs `work` for a machine's key; null when it is unknown or revoked. Rows it makes carry the key's id. */
  withMachine<T>(keyHash: Buffer, work: (tx: ActorTx, actor: Actor) => Promise<T>): Promise<T | null>;
  /** Runs `work` as a job of one practice. */
  withJob<T>(practiceId: string, name: string, work: (tx: ActorTx, actor: Actor) => Promise<T>): Promise<T>;
  /** The few calls that need no actor: sign-in and lists of work for the worker. They reach only gate functions. */
  readonly gate: postgres.Sql;
  listen(
    channel: string,
    onMessage: (payload: string) => void,
    onReady: () => void,
  ): Promise<() => Promise<void>>;
  /** A connection of its own, e.g. for an advisory lock. */
  reserve(): Promise<postgres.ReservedSql>;
  end(): Promise<void>;
}

export interface DatabaseOptions {
  readonly url: string;
  readonly role: DatabaseRole;
  readonly clock: Clock;
  readonly max?: number;
}

export function openDatabase({ url, role, clock, max = 10 }: DatabaseOptions): Database {
  const options = { onnotice: () => {}, connection: { role, application_name: 'chordae' } };
  // Two clients: drizzle replaces the JSON serialisers of the one it wraps.
  const wrapped = postgres(url, { ...options, max });
  const plain = postgres(url, { ...options, max: 4 });
  const locks = postgres(url, { ...options, max: 24, idle_timeout: 20 });
  // A job may be entered from within a session's transaction (frames): of one pool, ten at once would wait for each other for good.
  const forJobs = postgres(url, { ...options, max: 6 });
  const db = drizzle(wrapped);
  const jobsDb = drizzle(forJobs);

  const holdClock = async (tx: AnyTx) => {
    if (clock.fixed) await tx.execute(sql`select set_config('app.now', ${clock.now().toISOString()}, true)`);
  };

  return {
    gate: plain,
    async withSession(tokenHash, work) {
      return db.transaction(async (tx) => {
        await holdClock(tx);
        const rows = await tx.execute<{
          member_id: string;
          member_name: string;
          member_email: string;
          practice_id: string | null;
          group_id: string | null;
          role: Role | null;
        }>(sql`select * from enter(decode(${tokenHash.toString('hex')}, 'hex'))`);
        const first = rows[0];
        if (!first) return null;
        const memberships = rows.flatMap((r) =>
          r.role ? [{ practiceId: r.practice_id, groupId: r.group_id, role: r.role }] : [],
        );
        const actor: Actor = {
          kind: 'member',
          memberId: first.member_id,
          name: first.member_name,
          email: first.member_email,
          memberships,
        };
        return work(tx as ActorTx, actor);
      });
    },
    async withMachine(keyHash, work) {
      return db.transaction(async (tx) => {
        await holdClock(tx);
        const rows = await tx.execute<{ practice_id: string; id: string; name: string }>(
          sql`select * from enter_machine(decode(${keyHash.toString('hex')}, 'hex'))`,
        );
        const key = rows[0];
        if (!key) return null;
        // Files are sent as by who scans; which routes take a key at all is the route's own word.
        const memberships = [{ practiceId: key.practice_id, groupId: null, role: 'sonographer' as const }];
        return work(tx as ActorTx, {
          kind: 'service',
          memberId: key.id,
          name: key.name,
          email: '',
          memberships,
        });
      });
    },
    async withJob(practiceId, name, work) {
      return jobsDb.transaction(async (tx) => {
        await holdClock(tx);
        await tx.execute(sql`select enter_job(${practiceId}::uuid)`);
        return work(tx as ActorTx, { kind: 'job', memberId: null, name, email: '', memberships: [] });
      });
    },
    async listen(channel, onMessage, onReady) {
      const subscription = await plain.listen(channel, onMessage, onReady);
      return () => subscription.unlisten();
    },
    reserve: () => locks.reserve(),
    async end() {
      await Promise.all([wrapped, forJobs].map((pool) => pool.end({ timeout: 5 })));
      await Promise.all([plain.end({ timeout: 5 }), locks.end({ timeout: 5 })]);
    },
  };
}

/** Only the hash of a session's token is stored. */
export function hashToken(token: string): Buffer {
  return createHash('sha256').update(token).digest();
}
