import type postgres from 'postgres';

/**
 * Four roles, none of which can log in: the connecting user takes one for the whole connection (`-c role=…`).
 * `owner` owns tables, `app` serves people, `worker` runs jobs and owns the job schema, `gate` owns the few functions
 * that may look at sessions and memberships.
 */
export const roles = ['chordae_owner', 'chordae_app', 'chordae_worker', 'chordae_gate'] as const;
export type DatabaseRole = (typeof roles)[number];

/** Roles belong to the whole cluster, so they are made once, under a lock that two first starts cannot both hold. */
export async function ensureRoles(sql: postgres.Sql): Promise<void> {
  await sql.begin(async (tx) => {
    await tx`select pg_advisory_xact_lock(702_001)`;
    for (const role of roles) {
      const found = await tx`select 1 from pg_roles where rolname = ${role}`;
      if (found.length === 0) await tx.unsafe(`create role ${role} nologin`);
      await tx.unsafe(`grant ${role} to current_user`);
    }
    // Giving a function away needs membership and create on its schema.
    await tx.unsafe('grant chordae_gate, chordae_worker to chordae_owner');
  });
}

/** Rights on one database, wanted before its first migration. */
export async function grantDatabase(sql: postgres.Sql): Promise<void> {
  await sql.unsafe(`
    do $$ begin
      execute format('grant create, connect, temporary on database %I to chordae_owner, chordae_worker', current_database());
      execute format('grant connect on database %I to chordae_app', current_database());
    end $$;
    grant create, usage on schema public to chordae_owner, chordae_gate, chordae_worker;
    revoke create on schema public from public;
  `);
}
