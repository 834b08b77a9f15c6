import postgres from 'postgres';

const connect = (databaseUrl: string) =>
  postgres(databaseUrl, { max: 1, onnotice: () => {}, connection: { role: 'chordae_worker' } });

/** Names under which this process locks jobs, each held as an advisory lock: when the process dies, Postgres lets go. */
export interface WorkerLeases {
  readonly held: ReadonlySet<string>;
  hold(name: string): Promise<void>;
  release(): Promise<void>;
}

export function openWorkerLeases(databaseUrl: string): WorkerLeases {
  const sql = connect(databaseUrl);
  const held = new Set<string>();
  return {
    held,
    async hold(name) {
      // Known here before it is held there: this process never takes its own jobs away.
      held.add(name);
      await sql`select pg_advisory_lock(702_030, hashtext(${name}))`;
    },
    release: () => sql.end({ timeout: 5 }),
  };
}

/**
 * graphile-worker keeps a dead worker's job locked for four hours. Here a job whose lock names a pool that nobody holds is
 * given back at once: jobs are written so that running twice does no harm. A queue that is locked without any of its jobs
 * being so is opened as well: nobody else would.
 */
export async function freeJobsOfDeadWorkers(
  databaseUrl: string,
  own: ReadonlySet<string> = new Set(),
): Promise<number> {
  const sql = connect(databaseUrl);
  try {
    const locked = await sql<{ locked_by: string }[]>`
      select locked_by from graphile_worker._private_jobs where locked_by is not null
       union select locked_by from graphile_worker._private_job_queues where locked_by is not null`;
    const dead: string[] = [];
    for (const { locked_by: name } of locked) {
      if (own.has(name)) continue;
      const got = await sql<{ ok: boolean }[]>`select pg_try_advisory_lock(702_030, hashtext(${name})) as ok`;
      if (!got[0]?.ok) continue;
      dead.push(name);
      await sql`select pg_advisory_unlock(702_030, hashtext(${name}))`;
    }
    if (dead.length > 0) await sql`select graphile_worker.force_unlock_workers(${dead})`;
    await sql`
      update graphile_worker._private_job_queues q set locked_by = null, locked_at = null
       where q.locked_at < now() - interval '5 seconds'
         and not exists (select from graphile_worker._private_jobs j where j.job_queue_id = q.id and j.locked_at is not null)`;
    return dead.length;
  } finally {
    await sql.end({ timeout: 5 });
  }
}
