import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import postgres from 'postgres';
import type { TestProject } from 'vitest/node';
import { migrate } from '../../apps/api/src/platform/db/migrate';

declare module 'vitest' {
  interface ProvidedContext {
    /** Superuser address of the test server; database `chordae_template` on it is migrated. */
    serverUrl: string;
  }
}

export const TEMPLATE = 'chordae_template';

/** One Postgres for the whole run: a container where a Docker engine answers, else the embedded one. One migrated template. */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const server = process.env['CHORDAE_TEST_DATABASE']
    ? { url: process.env['CHORDAE_TEST_DATABASE'], stop: async () => {} }
    : ((await fromContainer()) ?? (await embedded()));
  const admin = postgres(server.url, { max: 1, onnotice: () => {} });
  await admin.unsafe(`drop database if exists ${TEMPLATE} with (force)`);
  await admin.unsafe(`create database ${TEMPLATE}`);
  await migrate(
    databaseUrl(server.url, TEMPLATE),
    path.resolve(import.meta.dirname, '../../apps/api/migrations'),
  );
  await admin.end();
  project.provide('serverUrl', server.url);
  return server.stop;
}

export function databaseUrl(serverUrl: string, name: string): string {
  const url = new URL(serverUrl);
  url.pathname = `/${name}`;
  return url.href;
}

async function fromContainer(): Promise<{ url: string; stop(): Promise<void> } | null> {
  const { PostgreSqlContainer } = await import('@testcontainers/postgresql');
  try {
    const container = await new PostgreSqlContainer('postgres:18').start();
    return { url: container.getConnectionUri(), stop: async () => void (await container.stop()) };
  } catch {
    // No Docker engine here: the embedded server runs the same tests.
    return null;
  }
}

async function embedded(): Promise<{ url: string; stop(): Promise<void> }> {
  const { startDatabase } = (await import('../../infra/database.mjs' as string)) as {
    startDatabase(o: {
      folder: string;
      settings?: Record<string, string>;
    }): Promise<{ url: string; pid: number; stop(): Promise<void> }>;
  };
  const folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-test-db-'));
  chmodSync(folder, 0o755);
  // Tests prove what commits, not what survives a power cut: the faults suite starts its own server with fsync on.
  const database = await startDatabase({
    folder,
    settings: { fsync: 'off', synchronous_commit: 'off', full_page_writes: 'off' },
  });
  const kill = () => {
    try {
      process.kill(database.pid, 'SIGQUIT');
    } catch {
      // already gone
    }
  };
  process.once('exit', kill);
  return {
    url: database.url,
    async stop() {
      await database.stop();
      process.removeListener('exit', kill);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
