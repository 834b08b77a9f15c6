import { type ChildProcess, spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BadLine } from '../support/bad-line';
import { madeDicom } from '../support/made-dicom';
import { type RunningSystem, startSystem } from '../support/running-system';
import { uuidv7 } from '../support/test-app';
import { makeWorld, PASSWORD, type World } from '../support/world';

/** `chordae send --watch` as a process of its own on a slow line, killed in the middle of a file and started again. */
const root = path.resolve(import.meta.dirname, '../..');
let system: RunningSystem;
let world: World;
let line: BadLine;
let folder: string;
let cookie: string;
const running: ChildProcess[] = [];

beforeAll(async () => {
  system = await startSystem();
  world = await makeWorld(system.admin);
  folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-watched-'));
  mkdirSync(path.join(folder, 'export'));
  line = new BadLine({ host: '127.0.0.1', port: Number(new URL(system.url).port) }, { bitsPerSecond: 4e6 });
  await line.start();
  const reply = await fetch(`${system.url}/api/sessions`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email: world.people.vetA.email, password: PASSWORD }),
  });
  cookie = reply.headers
    .getSetCookie()
    .map((c) => c.split(';')[0])
    .join('; ');
  const at = `/api/practices/${world.practiceA}`;
  const patientId = uuidv7();
  await put(`${at}/patients/${patientId}`, {
    name: 'Pebble',
    species: 'dog',
    breedCode: null,
    breedText: '',
    sex: 'female',
    neutered: null,
    birthDate: null,
    birthPrecision: null,
    chip: null,
  });
  await put(`${at}/referrals/${uuidv7()}`, {
    patientId,
    groupId: world.group,
    plan: 'collapse',
    scanId: uuidv7(),
    scannedOn: '2026-11-25',
  });
  const { key } = (await put(`${at}/machine-keys/${uuidv7()}`, { name: 'Scan room' })) as { key: string };
  writeFileSync(path.join(folder, 'key'), key);
});
afterAll(async () => {
  for (const child of running) child.kill('SIGKILL');
  await line?.stop();
  await system?.stop();
  rmSync(folder, { recursive: true, force: true });
});

async function put(url: string, body: unknown): Promise<unknown> {
  const reply = await fetch(system.url + url, {
    method: 'PUT',
    headers: { 'content-type': 'application/json', cookie },
    body: JSON.stringify(body),
  });
  if (!reply.ok) throw new Error(await reply.text());
  return reply.json();
}

function watch(): { child: ChildProcess; said: () => string } {
  const child = spawn(
    process.execPath,
    [
      path.join(root, 'dist/chordae.js'),
      'send',
      path.join(folder, 'export'),
      '--server',
      line.url,
      '--key-file',
      path.join(folder, 'key'),
      '--watch',
      '--pause',
      '0.2',
    ],
    { stdio: ['ignore', 'pipe', 'pipe'] },
  );
  running.push(child);
  let text = '';
  for (const from of [child.stdout, child.stderr])
    from?.on('data', (piece: Buffer) => (text += String(piece)));
  return { child, said: () => text };
}

const arrivals = () =>
  system.admin<{ id: string; state: string; sha256: string | null }[]>`
    select a.id, a.state, o.sha256 from arrivals a left join originals o on o.id = a.original_id`;

describe('a watched folder whose program is killed', () => {
  it('goes on where it was under the same id, through cuts as well, and the file arrives whole and nearly once', async () => {
    const bytes = madeDicom({ frames: 40, columns: 320, rows: 240, seed: 401 });
    const file = path.join(folder, 'export', 'IM_1.dcm');
    writeFileSync(file, bytes);
    utimesSync(file, new Date(Date.now() - 60_000), new Date(Date.now() - 60_000));
    const first = watch();
    await expect.poll(() => line.upBytes).toBeGreaterThan(bytes.length / 3);
    first.child.kill('SIGKILL');
    expect((await arrivals()).map((a) => a.state)).toEqual(['arriving']);
    const second = watch();
    await expect.poll(() => line.upBytes).toBeGreaterThan((2 * bytes.length) / 3);
    line.cut();
    await expect.poll(async () => (await arrivals()).map((a) => a.state)).toEqual(['read']);
    expect((await arrivals())[0]?.sha256).toBe(createHash('sha256').update(bytes).digest('hex'));
    expect(line.upBytes / bytes.length).toBeLessThan(1.5);
    await expect.poll(() => second.said()).toContain('sent    IM_1.dcm');
    // A third run, days later, has nothing to do and says nothing.
    second.child.kill('SIGTERM');
    const before = line.upBytes;
    const third = watch();
    await new Promise((r) => setTimeout(r, 3000));
    expect(third.said()).toBe('');
    expect(line.upBytes - before).toBeLessThan(50_000);
    third.child.kill('SIGKILL');
  });
});
