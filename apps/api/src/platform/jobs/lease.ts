import { randomUUID } from 'node:crypto';
import postgres from 'postgres';

/** A worker's name is held as an advisory lock on a connection of its own: when the process dies, Postgres lets go. */
export async function holdWorkerLeases(
  databaseUrl: string,
  count: number,
): Promise<{ workerIds: string[]; release(): Promise<void> }> {
  const sql = postgres(databaseUrl, { max: 1, onnotice: () => {}, connection: { role: 'chordae_worker' } });
  const workerIds = Array.from({ length: count }, () => `chordae-${randomUUID()}`);
  for (const id of workerIds) await sql`select pg_advisory_lock(702_030, hashtext(${id}))`;
  return { workerIds, release: () => sql.end({ timeout: 5 }) };
}

/**
 * graphile-worker keeps a dead worker's job locked for four hours. Here a job whose worker's lease is free is given
 * back at once: jobs are written so that running twice does no harm.
 */
export async function freeJobsOfDeadWorkers(databaseUrl: string): Promise<number> {
  const sql = postgres(databaseUrl, { max: 1, onnotice: () => {}, connection: { role: 'chordae_worker' } });
  try {
    const locked = await sql<
      { locked_by: string }[]
    >`select distinct locked_by from graphile_worker._private_jobs where locked_by is not null`;
    const dead: string[] = [];
    for (const { locked_by: id } of locked) {
      const got = await sql<{ ok: boolean }[]>`select pg_try_advisory_lock(702_030, hashtext(${id})) as ok`;
      if (!got[0]?.ok) continue;
      dead.push(id);
      await sql`select pg_advisory_unlock(702_030, hashtext(${id}))`;
    }
    if (dead.length > 0) await sql`select graphile_worker.force_unlock_workers(${dead})`;
    return dead.length;
  } finally {
    await sql.end({ timeout: 5 });
  }
}
