import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import os from 'node:os';
import path from 'node:path';
import postgres from 'postgres';
import { cloneDatabase } from './test-app';

const root = path.resolve(import.meta.dirname, '../..');

export interface RunningSystem {
  readonly url: string;
  readonly admin: postgres.Sql;
  readonly dataFolder: string;
  stop(): Promise<void>;
}

/** API, portal and worker from the bundle, as `npm start` runs them, on a database of their own. */
export async function startSystem(environment: Record<string, string> = {}): Promise<RunningSystem> {
  const database = await cloneDatabase();
  const dataFolder = mkdtempSync(path.join(os.tmpdir(), 'chordae-whole-'));
  const port = await freePort();
  const env = {
    ...process.env,
    DATABASE_URL: database.url,
    CHORDAE_DATA: dataFolder,
    PORT: String(port),
    CHORDAE_PORTAL: path.join(root, 'apps/portal/dist'),
    CHORDAE_LOG: 'warn',
    NODE_ENV: 'production',
    ...environment,
  };
  const start = (command: string): ChildProcess =>
    spawn(process.execPath, [path.join(root, 'dist/chordae.js'), command], {
      env,
      stdio: ['ignore', 'ignore', 'inherit'],
    });
  const parts = [start('serve'), start('worker')];
  const url = `http://127.0.0.1:${port}`;
  await untilHealthy(url);
  const admin = postgres(database.url, { max: 2, onnotice: () => {} });
  return {
    url,
    admin,
    dataFolder,
    async stop() {
      await Promise.all(
        parts.map(
          (p) =>
            new Promise<void>((resolve) => {
              p.once('exit', () => resolve());
              // A part that does not end by itself must not hold up the run.
              setTimeout(() => p.kill('SIGKILL'), 5000).unref();
              p.kill('SIGTERM');
            }),
        ),
      );
      await admin.end({ timeout: 5 });
      await database.drop();
      rmSync(dataFolder, { recursive: true, force: true });
    },
  };
}

async function untilHealthy(url: string): Promise<void> {
  const until = Date.now() + 120_000;
  for (;;) {
    const ok = await fetch(`${url}/api/health`).then(
      (r) => r.ok,
      () => false,
    );
    if (ok) return;
    if (Date.now() > until) throw new Error('the system did not start');
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

export function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const server = createServer();
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address() as { port: number };
      server.close(() => resolve(port));
    });
  });
}
