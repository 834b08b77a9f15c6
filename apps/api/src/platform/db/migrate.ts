import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { runMigrations } from 'graphile-worker';
import pg from 'pg';
import postgres from 'postgres';
import { ensureRoles, grantDatabase } from './roles';
import { watchPool } from './watch-pool';

export interface Migration {
  readonly number: number;
  readonly name: string;
  readonly sql: string;
  readonly hash: string;
  /** First line `--! breaking`: older code cannot run on the result. */
  readonly breaking: boolean;
}

/** Reads `NNNN_name.sql`, in order; a gap or a doubled number is a programmer's mistake and throws. */
export function readMigrations(folder: string): Migration[] {
  const files = readdirSync(folder)
    .filter((f) => f.endsWith('.sql'))
    .sort();
  return files.map((file, index) => {
    const number = Number(file.slice(0, 4));
    if (number !== index + 1)
      throw new Error(`Migrations must be numbered without a gap: ${file} stands at place ${index + 1}`);
    const sql = readFileSync(path.join(folder, file), 'utf8');
    return {
      number,
      name: file,
      sql,
      hash: createHash('sha256').update(sql).digest('hex'),
      breaking: sql.startsWith('--! breaking'),
    };
  });
}

/**
 * Brings a database up to date. Safe to run twice and from twenty processes at once (advisory lock);
 * stops on an edited, missing or unknown migration instead of guessing.
 */
export async function migrate(databaseUrl: string, folder: string): Promise<{ applied: string[] }> {
  const admin = postgres(databaseUrl, { max: 1, onnotice: () => {} });
  try {
    await ensureRoles(admin);
    return await admin.begin(async (lock) => {
      await lock`select pg_advisory_xact_lock(702_002)`;
      const applied = await applyInOrder(databaseUrl, folder);
      await prepareJobs(databaseUrl);
      return { applied };
    });
  } finally {
    await admin.end();
  }
}

async function applyInOrder(databaseUrl: string, folder: string): Promise<string[]> {
  const admin = postgres(databaseUrl, { max: 1, onnotice: () => {} });
  try {
    await grantDatabase(admin);
    await admin.unsafe(`create schema if not exists migration_log;
      create table if not exists migration_log.migrations (
      number integer primary key, name text not null, hash text not null, applied_at timestamptz not null default now())`);
    const done = await admin<
      { number: number; name: string; hash: string }[]
    >`select number, name, hash from migration_log.migrations order by number`;
    const files = readMigrations(folder);
    checkHistory(done, files);
    const applied: string[] = [];
    for (const file of files.slice(done.length)) {
      await admin.begin(async (tx) => {
        await tx.unsafe('set local role chordae_owner');
        await tx.unsafe(file.sql).catch((error: Error) => {
          // The driver's error carries the whole text of the migration: name and reason are enough.
          throw new Error(`${file.name}: ${error.message}`);
        });
        await tx.unsafe('reset role');
        await tx`insert into migration_log.migrations (number, name, hash) values (${file.number}, ${file.name}, ${file.hash})`;
      });
      applied.push(file.name);
    }
    return applied;
  } finally {
    await admin.end();
  }
}

/** Throws when the database's history is not a prefix of the files. */
export function checkHistory(
  done: readonly { number: number; name: string; hash: string }[],
  files: readonly Migration[],
): void {
  for (const [index, row] of done.entries()) {
    const file = files[index];
    if (!file)
      throw new Error(
        `The database has migration ${row.name}, which this version does not know: run a newer version.`,
      );
    if (row.number !== file.number || row.hash !== file.hash) {
      throw new Error(
        `Migration ${file.name} was changed after it had been applied: restore the file, and write a new migration.`,
      );
    }
  }
}

/** graphile-worker's own schema, owned by the worker role, and the one door by which the application adds a job. */
async function prepareJobs(databaseUrl: string): Promise<void> {
  const pool = new pg.Pool({ connectionString: databaseUrl, options: '-c role=chordae_worker', max: 2 });
  watchPool(pool, () => {});
  try {
    await runMigrations({ pgPool: pool });
    await pool.query(`
      create or replace function public.enqueue(task text, payload text, job_key text default null, run_at timestamptz default null)
      returns void language sql security definer set search_path = graphile_worker, pg_catalog as
      -- Looking at pictures may wait and never takes both of a worker's hands: what somebody waits for comes first.
      $$ select graphile_worker.add_job(task, payload::json, job_key => job_key, run_at => run_at, max_attempts => 8,
           queue_name => case when task = 'clip.assess' then 'pictures' end,
           priority => case when task = 'clip.assess' then 10 else 0 end) $$;
      revoke all on function public.enqueue(text, text, text, timestamptz) from public;
      grant execute on function public.enqueue(text, text, text, timestamptz) to chordae_app, chordae_worker;
    `);
  } finally {
    await pool.end();
  }
}
