import { EventEmitter } from 'node:events';
import { Logger, type Runner, run, type WorkerEvents } from 'graphile-worker';
import pg from 'pg';
import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cloneDatabase } from '../../../../../tests/support/test-app';
import { watchPool } from '../db/watch-pool';
import { freeJobsOfDeadWorkers, openWorkerLeases, type WorkerLeases } from './lease';

/** graphile-worker itself runs here: the name under which it locks a job is what a lease has to be on. */
let database: Awaited<ReturnType<typeof cloneDatabase>>;
let admin: postgres.Sql;
let pool: pg.Pool;
let leases: WorkerLeases;
let runner: Runner;
const finish: (() => void)[] = [];
let begun: Promise<void>;
let runs = 0;

const jobs = () => admin<{ locked_by: string | null }[]>`select locked_by from graphile_worker._private_jobs`;
const queues = () =>
  admin<{ locked_by: string | null }[]>`select locked_by from graphile_worker._private_job_queues`;

beforeAll(async () => {
  database = await cloneDatabase();
  admin = postgres(database.url, { max: 2, onnotice: () => {} });
  pool = new pg.Pool({ connectionString: database.url, options: '-c role=chordae_worker', max: 4 });
  watchPool(pool, () => {});
  leases = openWorkerLeases(database.url);
  const events: WorkerEvents = new EventEmitter();
  const holding: Promise<void>[] = [];
  events.on('pool:create', ({ workerPool }) => holding.push(leases.hold(workerPool.id)));
  let began: () => void = () => {};
  begun = new Promise((resolve) => (began = resolve));
  const taskList = {
    'clip.assess': () => {
      runs += 1;
      began();
      return new Promise<void>((resolve) => finish.push(resolve));
    },
  };
  runner = await run({
    pgPool: pool,
    taskList,
    concurrency: 2,
    noHandleSignals: true,
    logger: new Logger(() => () => {}),
    pollInterval: 50,
    events,
  });
  await Promise.all(holding);
});
afterAll(async () => {
  for (const end of finish) end();
  await runner.stop().catch(() => null);
  await pool.end();
  await admin.end({ timeout: 5 });
  await database.drop();
});

describe('a job under way', () => {
  it('stays with its living worker, whoever looks, and is given back once that worker is gone', async () => {
    await admin`select enqueue('clip.assess', '{}')`;
    await begun;
    const name = (await jobs())[0]?.locked_by ?? '';
    expect(leases.held.has(name)).toBe(true);
    // Another process looks: it knows nothing of this one but what the database holds.
    expect(await freeJobsOfDeadWorkers(database.url)).toBe(0);
    expect(await freeJobsOfDeadWorkers(database.url, leases.held)).toBe(0);
    expect([(await jobs())[0]?.locked_by, (await queues())[0]?.locked_by]).toEqual([name, name]);
    expect(runs).toBe(1);

    // As when its process dies: the connection that holds the lease goes.
    await leases.release();
    expect(await freeJobsOfDeadWorkers(database.url)).toBe(1);
    // Given back, it is taken up again.
    await expect.poll(() => runs).toBe(2);
  });

  it('leaves no queue closed behind it: one that is locked without a job of it under way is opened', async () => {
    await admin`delete from graphile_worker._private_jobs`;
    await admin`update graphile_worker._private_job_queues set locked_by = 'pool-of-nobody', locked_at = now()`;
    const id = 'pool-held';
    const other = openWorkerLeases(database.url);
    await other.hold(id);
    // Locked by a living pool a moment ago: it may just be taking a job.
    await admin`update graphile_worker._private_job_queues set locked_by = ${id}, locked_at = now()`;
    await freeJobsOfDeadWorkers(database.url);
    expect((await queues())[0]?.locked_by).toBe(id);
    await admin`update graphile_worker._private_job_queues set locked_at = now() - interval '1 minute'`;
    await freeJobsOfDeadWorkers(database.url);
    expect((await queues())[0]?.locked_by).toBeNull();
    await other.release();
  });
});
