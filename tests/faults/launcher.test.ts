import { type ChildProcess, spawn } from 'node:child_process';
import { chmodSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { freePort } from '../support/running-system';

/** `npm start` itself: stops cleanly, keeps everything, and recovers by itself after its parts were killed. */
const root = path.resolve(import.meta.dirname, '../..');
const folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-launch-'));
chmodSync(folder, 0o755);
let launcher: ChildProcess | null = null;
let said = '';
const sleep = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

async function start(port: number): Promise<void> {
  said = '';
  const child = spawn(process.execPath, [path.join(root, 'infra/start.mjs')], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, CHORDAE_DATA: folder, PORT: String(port), CHORDAE_DEMO: 'no', DATABASE_URL: '' },
  });
  child.stdout.on('data', (chunk: Buffer) => (said += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (said += chunk.toString()));
  launcher = child;
  const until = Date.now() + 180_000;
  while (
    !(await fetch(`http://127.0.0.1:${port}/api/health`).then(
      (r) => r.ok,
      () => false,
    ))
  ) {
    if (Date.now() > until) throw new Error(`did not start: ${said}`);
    await sleep(100);
  }
}

async function end(signal: NodeJS.Signals): Promise<number | null> {
  const child = launcher;
  if (!child) return null;
  const gone = new Promise<number | null>((resolve) => child.once('exit', (code) => resolve(code)));
  child.kill(signal);
  launcher = null;
  return gone;
}

const databasePid = () =>
  Number(readFileSync(path.join(folder, 'postgres/postmaster.pid'), 'utf8').split('\n')[0]);
const isAlive = (pid: number) => {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
};

afterAll(async () => {
  await end('SIGTERM');
  await sleep(1000);
  rmSync(folder, { recursive: true, force: true });
});

describe('the launcher', () => {
  it('starts from nothing, stops cleanly on Ctrl-C, and starts again with what was there', async () => {
    const port = await freePort();
    await start(port);
    const first = databasePid();
    expect(await end('SIGINT')).toBe(0);
    expect(said).toContain('everything that was acknowledged is on disk');
    expect(isAlive(first)).toBe(false);
    await expect(fetch(`http://127.0.0.1:${port}/api/health`)).rejects.toThrow();
    await start(port);
    expect(said).not.toContain('making a new one');
  });

  it('adopts the database of a launcher that was killed, whose parts end by themselves', async () => {
    const before = databasePid();
    await end('SIGKILL');
    await sleep(3500);
    expect(isAlive(before)).toBe(true);
    await start(await freePort());
    expect(said).toContain('adopted');
    expect(databasePid()).toBe(before);
  });

  it('recovers when the database was killed as well', async () => {
    process.kill(databasePid(), 'SIGKILL');
    await end('SIGKILL');
    await start(await freePort());
    expect(await end('SIGTERM')).toBe(0);
  });
});
