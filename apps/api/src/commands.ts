/** What the CLI may call; nothing else of the API is reached from outside. */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { readConfig } from './platform/config/config';
import { migrate } from './platform/db/migrate';

export { settings } from './platform/config/config';

function setUp() {
  const config = readConfig(process.env);
  const databaseUrl = config.DATABASE_URL;
  if (!databaseUrl)
    throw new Error(
      'DATABASE_URL is not set. `npm start` starts the embedded database and sets it; by hand, set it to a Postgres of your own.',
    );
  return { config, databaseUrl };
}

/** Folder of migrations: beside the bundle's checkout, or beside this source. */
export function migrationsFolder(): string {
  const near = [
    new URL('../apps/api/migrations/', import.meta.url),
    new URL('../../apps/api/migrations/', import.meta.url),
    new URL('../migrations/', import.meta.url),
  ];
  const found = near.map((u) => fileURLToPath(u)).find((p) => existsSync(p));
  if (!found) throw new Error('the folder of migrations is missing');
  return found;
}

export async function runMigrate(): Promise<{ applied: string[] }> {
  const { databaseUrl } = setUp();
  return migrate(databaseUrl, migrationsFolder());
}

export async function runServe(options: { tls?: boolean } = {}): Promise<{
  url: string;
  elsewhere: string[];
  fingerprint: string | null;
  stop(): Promise<void>;
}> {
  // With --tls it is meant for other devices: it listens on all addresses unless one is named.
  if (options.tls) {
    process.env['CHORDAE_TLS'] ??= 'made';
    process.env['HOST'] ??= '0.0.0.0';
  }
  const { config, databaseUrl } = setUp();
  const { startServer } = await import('./server');
  return startServer(config, databaseUrl, config.CHORDAE_PORTAL ?? null);
}

export async function runWorker(): Promise<{ stop(): Promise<void> }> {
  const { config, databaseUrl } = setUp();
  const { startWorker } = await import('./worker');
  return startWorker(config, databaseUrl);
}

export async function runDemo(options: {
  ifEmpty: boolean;
}): Promise<{ loaded: boolean; members: { email: string; password: string; says: string }[] }> {
  const { config, databaseUrl } = setUp();
  const { loadDemo } = await import('./demo/load-demo');
  return loadDemo(config, databaseUrl, options);
}

export async function runVerify(): Promise<{
  practices: number;
  broken: string[];
  events: number;
  originals: number;
}> {
  const { config, databaseUrl } = setUp();
  const { verifyAll } = await import('./verify');
  return verifyAll(config, databaseUrl);
}
