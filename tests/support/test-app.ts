import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { FastifyInstance } from 'fastify';
import postgres from 'postgres';
import { inject } from 'vitest';
import { buildApp } from '../../apps/api/src/app';
import { settableClock } from '../../apps/api/src/platform/clock';
import { readConfig } from '../../apps/api/src/platform/config/config';
import { makeServices } from '../../apps/api/src/platform/make-services';
import type { Services } from '../../apps/api/src/platform/services';
import { uuidv7 } from '../../apps/api/src/platform/uuid';
import { databaseUrl, TEMPLATE } from './database-setup';

let counter = 0;

/** A database of one's own, cloned from the migrated template. */
export async function cloneDatabase(): Promise<{ url: string; drop(): Promise<void> }> {
  const server = inject('serverUrl');
  counter += 1;
  const name = `t_${process.pid}_${counter}_${Math.random().toString(36).slice(2, 8)}`;
  const admin = postgres(server, { max: 1, onnotice: () => {} });
  // Two clones at once must not both read the template.
  await admin`select pg_advisory_lock(702_099)`;
  await admin.unsafe(`create database ${name} template ${TEMPLATE}`);
  await admin`select pg_advisory_unlock(702_099)`;
  await admin.end();
  return {
    url: databaseUrl(server, name),
    async drop() {
      const sql = postgres(server, { max: 1, onnotice: () => {} });
      await sql.unsafe(`drop database if exists ${name} with (force)`);
      await sql.end();
    },
  };
}

export interface TestApp {
  readonly app: FastifyInstance;
  readonly services: Services;
  readonly worker: Services;
  readonly clock: ReturnType<typeof settableClock>;
  readonly url: string;
  /** Superuser connection: sees and changes everything; for set-up and for looking behind the scenes. */
  readonly admin: postgres.Sql;
  close(): Promise<void>;
}

/** A Wednesday morning in Dublin inside usual opening hours. */
export const TEST_NOW = new Date('2026-11-25T09:30:00Z');

export async function startTestApp(environment: Record<string, string> = {}): Promise<TestApp> {
  const database = await cloneDatabase();
  const folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-test-'));
  const clock = settableClock(TEST_NOW);
  const config = readConfig({
    CHORDAE_DATA: folder,
    DATABASE_URL: database.url,
    CHORDAE_LOG: process.env['CHORDAE_TEST_LOG'] ?? 'silent',
    PORT: '0',
    ...environment,
  });
  const services = makeServices(config, database.url, 'chordae_app', 'test', clock);
  const worker = makeServices(config, database.url, 'chordae_worker', 'test-worker', clock);
  const app = await buildApp({ services, portal: null });
  await app.ready();
  const admin = postgres(database.url, { max: 2, onnotice: () => {} });
  return {
    app,
    services,
    worker,
    clock,
    admin,
    url: database.url,
    async close() {
      await app.close();
      await Promise.all([services.db.end(), worker.db.end(), admin.end({ timeout: 5 })]);
      await database.drop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Does the waiting jobs as the worker would, one after the other, until none is left. Returns the names it did. */
export async function workOff(
  t: TestApp,
  table: Record<string, (payload: never) => Promise<void>>,
): Promise<string[]> {
  const done: string[] = [];
  for (;;) {
    const next = await t.admin<{ id: string; task: string; payload: unknown }[]>`
      select j.id, k.identifier as task, j.payload from graphile_worker._private_jobs j join graphile_worker._private_tasks k on k.id = j.task_id
       where j.attempts < j.max_attempts and j.run_at <= now() order by j.priority, j.run_at, j.id limit 1`;
    const job = next[0];
    if (!job) return done;
    await t.admin`delete from graphile_worker._private_jobs where id = ${job.id}`;
    const work = table[job.task];
    if (!work) throw new Error(`no work for job ${job.task}`);
    await work(job.payload as never);
    done.push(job.task);
  }
}

export { uuidv7 };
