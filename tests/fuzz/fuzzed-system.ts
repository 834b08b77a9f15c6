import { type ChildProcess, spawn } from 'node:child_process';
import { chmodSync, createWriteStream, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import postgres from 'postgres';
import { migrate } from '../../apps/api/src/platform/db/migrate';
import { freePort } from '../support/running-system';

const root = path.resolve(import.meta.dirname, '../..');
const { startDatabase } = (await import('../../infra/database.mjs' as string)) as {
  startDatabase(o: {
    folder: string;
    settings?: Record<string, string>;
  }): Promise<{ url: string; stop(): Promise<void> }>;
};
type Part = 'serve' | 'worker';

/** Server and worker from the bundle on a database of their own, watched: an end that nobody asked for is kept as a fault. */
export class FuzzedSystem {
  readonly folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-fuzz-server-'));
  readonly faults: string[] = [];
  url = '';
  admin!: postgres.Sql;
  private stopDatabase = async (): Promise<void> => {};
  private readonly parts = new Map<Part, ChildProcess>();
  private stopping = false;

  get logFile(): string {
    return `${this.folder}.log`;
  }

  async start(): Promise<void> {
    chmodSync(this.folder, 0o755);
    const settings = { fsync: 'off', synchronous_commit: 'off', full_page_writes: 'off' };
    const database = await startDatabase({ folder: this.folder, settings });
    this.stopDatabase = () => database.stop();
    await migrate(database.url, path.join(root, 'apps/api/migrations'));
    const port = await freePort();
    this.url = `http://127.0.0.1:${port}`;
    const env = {
      ...process.env,
      DATABASE_URL: database.url,
      CHORDAE_DATA: this.folder,
      PORT: String(port),
      CHORDAE_PORTAL: path.join(root, 'apps/portal/dist'),
      CHORDAE_LOG: 'error',
      CHORDAE_DECODER_SECONDS: '30',
      NODE_ENV: 'production',
    };
    const log = createWriteStream(this.logFile);
    for (const part of ['serve', 'worker'] as const) {
      const child = spawn(process.execPath, [path.join(root, 'dist/chordae.js'), part], {
        env,
        stdio: ['ignore', 'pipe', 'pipe'],
      });
      child.stdout.pipe(log, { end: false });
      child.stderr.pipe(log, { end: false });
      child.once('exit', (code, signal) => {
        if (!this.stopping) this.faults.push(`${part} ended by itself: ${code ?? signal}`);
      });
      this.parts.set(part, child);
    }
    await this.untilHealthy();
    this.admin = postgres(database.url, { max: 2, onnotice: () => {} });
  }

  async healthy(): Promise<boolean> {
    return fetch(`${this.url}/api/health`, { signal: AbortSignal.timeout(10_000) }).then(
      (reply) => reply.ok,
      () => false,
    );
  }

  /** Resident memory of a part, MB. */
  residentMb(part: Part): number {
    const status = readFileSync(`/proc/${this.parts.get(part)?.pid}/status`, 'utf8');
    return Number(/^VmRSS:\s+(\d+)/m.exec(status)?.[1] ?? Number.NaN) / 1024;
  }

  private async untilHealthy(): Promise<void> {
    const until = Date.now() + 60_000;
    while (!(await this.healthy())) {
      if (Date.now() > until) throw new Error('the system did not start');
      await new Promise((resolve) => setTimeout(resolve, 200));
    }
  }

  async stop(): Promise<void> {
    this.stopping = true;
    for (const child of this.parts.values()) child.kill('SIGKILL');
    await this.admin?.end({ timeout: 5 });
    await this.stopDatabase();
    rmSync(this.folder, { recursive: true, force: true });
  }
}
