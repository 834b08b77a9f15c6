import { type ChildProcess, spawn } from 'node:child_process';
import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { freePort } from './running-system';

const root = path.resolve(import.meta.dirname, '../..');
export type Part = 'api' | 'worker' | 'database';

interface Database {
  url: string;
  pid: number;
  stop(): Promise<void>;
}
const { startDatabase } = (await import('../../infra/database.mjs' as string)) as {
  startDatabase(o: { folder: string }): Promise<Database>;
};

/** API, worker and a database of their own (with fsync), each of which can be killed and comes back as the launcher brings it back. */
export class KillableSystem {
  readonly folder: string;
  url = '';
  databaseUrl = '';
  private database: Database | null = null;
  private readonly parts = new Map<'api' | 'worker', ChildProcess>();
  private port = 0;
  private stopping = false;

  constructor() {
    this.folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-faults-'));
    chmodSync(this.folder, 0o755);
  }

  async start(): Promise<void> {
    this.port = await freePort();
    this.url = `http://127.0.0.1:${this.port}`;
    await this.startDatabase();
    const code = await this.run(['migrate', '--quiet']);
    if (code !== 0) throw new Error('migrate failed');
    this.launch('api');
    this.launch('worker');
  }

  /** SIGKILL, then started again: nothing gets a chance to tidy up. */
  async kill(part: Part): Promise<void> {
    if (part === 'database') {
      process.kill(this.database?.pid ?? 0, 'SIGKILL');
      await this.startDatabase();
      // A new server has a new port here; the parts are told by being started anew, as the launcher would.
      for (const p of ['api', 'worker'] as const) this.parts.get(p)?.kill('SIGKILL');
    } else this.parts.get(part)?.kill('SIGKILL');
  }

  /** Runs one command of the CLI and gives its exit code and output. */
  async output(args: string[]): Promise<{ code: number; out: string }> {
    const child = spawn(process.execPath, [path.join(root, 'dist/chordae.js'), ...args], {
      env: this.environment(),
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let out = '';
    child.stdout.on('data', (chunk: Buffer) => {
      out += chunk.toString();
    });
    const code = await new Promise<number>((resolve) => child.once('close', (c) => resolve(c ?? 1)));
    return { code, out };
  }

  private async run(args: string[]): Promise<number> {
    return (await this.output(args)).code;
  }

  private async startDatabase(): Promise<void> {
    this.database = await startDatabase({ folder: this.folder });
    this.databaseUrl = this.database.url;
  }

  private launch(part: 'api' | 'worker'): void {
    const child = spawn(
      process.execPath,
      [path.join(root, 'dist/chordae.js'), part === 'api' ? 'serve' : 'worker'],
      { env: this.environment(), stdio: 'ignore' },
    );
    this.parts.set(part, child);
    child.once('exit', () => {
      // Asked again when the pause is over: a part started after the end would outlive the test.
      setTimeout(() => {
        if (!this.stopping) this.launch(part);
      }, 100);
    });
  }

  private environment(): NodeJS.ProcessEnv {
    return {
      ...process.env,
      DATABASE_URL: this.databaseUrl,
      CHORDAE_DATA: this.folder,
      PORT: String(this.port),
      CHORDAE_LOG: 'silent',
      CHORDAE_PORTAL: path.join(root, 'apps/portal/dist'),
      NODE_ENV: 'production',
    };
  }

  async stop(): Promise<void> {
    this.stopping = true;
    for (const child of this.parts.values()) child.kill('SIGKILL');
    await new Promise((resolve) => setTimeout(resolve, 200));
    await this.database?.stop();
    rmSync(this.folder, { recursive: true, force: true });
  }
}
