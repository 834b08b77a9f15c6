import { mkdirSync, mkdtempSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { send } from '../../apps/cli/src/send/send';
import { madeDicom } from '../support/made-dicom';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import {
  makeWorld,
  type OpenedReferral,
  openDraft,
  type Session,
  signIn,
  type World,
} from '../support/world';

/** `chordae send --watch` over days, with short pauses: files that grow, a key that is replaced, a disk without room. */
let t: TestApp;
let world: World;
let vet: Session;
let base: string;
let d: OpenedReferral;
const root = mkdtempSync(path.join(os.tmpdir(), 'chordae-watch-'));
const keyFile = path.join(root, 'key');
let folders = 0;
const PATIENT = { timeout: 40_000, interval: 50 };

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  base = await t.app.listen({ port: 0, host: '127.0.0.1' });
  d = await openDraft(vet, world, world.practiceA);
  await newKey();
});
afterAll(async () => {
  await t.close();
  rmSync(root, { recursive: true, force: true });
});

async function newKey(): Promise<string> {
  const id = uuidv7();
  const made = await vet.put(`/api/practices/${world.practiceA}/machine-keys/${id}`, { name: `Room ${id}` });
  if (made.status !== 200) throw new Error(made.raw);
  writeFileSync(keyFile, (made.body as { key: string }).key);
  return id;
}

/** A watched folder of its own; `stop` ends the watching and gives the exit code. */
function watch(...more: string[]) {
  folders += 1;
  const folder = path.join(root, `export-${folders}`);
  mkdirSync(folder);
  const lines: string[] = [];
  const complaints: string[] = [];
  const control = new AbortController();
  const args = [folder, '--server', base, '--key-file', keyFile, '--watch', '--pause', '0.2', ...more];
  const out = {
    print: (l: string) => lines.push(l),
    complain: (l: string) => complaints.push(l),
    draw: null,
    env: {},
  };
  const ended = send(args, out, control.signal);
  const stop = () => {
    control.abort();
    return ended;
  };
  return { folder, lines, complaints, stop };
}

/** Written so long ago. */
function put(folder: string, name: string, bytes: Uint8Array, secondsAgo: number): void {
  const file = path.join(folder, name);
  writeFileSync(file, bytes);
  const then = new Date(Date.now() - secondsAgo * 1000);
  utimesSync(file, then, then);
}
const arrivalsOf = async (name: string) =>
  (await t.admin<{ state: string }[]>`select state from arrivals where file_name = ${name}`).map(
    (r) => r.state,
  );
const said = (lines: string[], words: string) =>
  expect.poll(() => lines.join('\n'), PATIENT).toContain(words);

describe('a watched folder', () => {
  it('sends what comes, says each thing once, and goes on looking', async () => {
    const w = watch();
    put(w.folder, 'one.dcm', madeDicom({ seed: 301 }), 60);
    await said(w.lines, 'sent    one.dcm');
    put(w.folder, 'two.dcm', madeDicom({ seed: 302 }), 60);
    put(w.folder, 'who.dcm', madeDicom({ seed: 303, name: '' }), 60);
    await said(w.lines, 'sent    two.dcm');
    await said(w.lines, 'waits   who.dcm: names no patient');
    await new Promise((r) => setTimeout(r, 700));
    expect(await w.stop()).toBe(0);
    expect(w.lines.filter((l) => l.includes('who.dcm'))).toHaveLength(1);
    expect(w.complaints).toEqual([]);
    expect(await arrivalsOf('one.dcm')).toEqual(['arrived']);
  });

  it('waits for a file that is half there, however long the machine pauses, and sends it whole and once', async () => {
    const w = watch();
    const whole = madeDicom({ seed: 304, frames: 9 });
    put(w.folder, 'slow.dcm', whole.slice(0, whole.length / 2), 30);
    await new Promise((r) => setTimeout(r, 900));
    expect(w.lines).toEqual([]);
    put(w.folder, 'slow.dcm', whole, 30);
    await said(w.lines, 'sent    slow.dcm');
    await w.stop();
    expect(await arrivalsOf('slow.dcm')).toEqual(['arrived']);
  });

  it('says of one that stays half that it has to be exported again, and sends nothing of it', async () => {
    const w = watch('--referral', String(await numberOf()));
    const whole = madeDicom({ seed: 305, frames: 9 });
    put(w.folder, 'half.dcm', whole.slice(0, whole.length / 2), 600);
    await said(w.complaints, 'failed  half.dcm: it ends before its header says: export it again.');
    await w.stop();
    expect(await arrivalsOf('half.dcm')).toEqual([]);
  });

  it('sends a file again that the machine has written anew', async () => {
    const w = watch();
    put(w.folder, 'again.dcm', madeDicom({ seed: 306 }), 60);
    await said(w.lines, 'sent    again.dcm');
    put(w.folder, 'again.dcm', madeDicom({ seed: 307, frames: 4 }), 50);
    await expect.poll(() => arrivalsOf('again.dcm'), PATIENT).toEqual(['arrived', 'arrived']);
    await w.stop();
  });

  it('says once that its key was revoked, sends nothing, and takes up the new one without being started again', async () => {
    const old = await newKey();
    const w = watch();
    put(w.folder, 'before.dcm', madeDicom({ seed: 308 }), 60);
    await said(w.lines, 'sent    before.dcm');
    expect((await vet.post(`/api/practices/${world.practiceA}/machine-keys/${old}/revoke`, {})).status).toBe(
      200,
    );
    put(w.folder, 'after.dcm', madeDicom({ seed: 309 }), 60);
    await said(w.complaints, 'it was revoked');
    await new Promise((r) => setTimeout(r, 2500));
    expect(w.complaints).toHaveLength(1);
    expect(await arrivalsOf('after.dcm')).toEqual([]);
    rmSync(keyFile);
    await said(w.complaints, 'cannot be read or is empty');
    await newKey();
    await said(w.lines, 'sent    after.dcm');
    expect(await w.stop()).toBe(0);
  });

  it('goes on without room for what it has sent, says so once, sends nothing twice, and not after a restart either', async () => {
    // A state that cannot be written, as on a full disk.
    const w = watch('--state', path.join(root, 'no-such-folder', 'sent.json'));
    put(w.folder, 'full.dcm', madeDicom({ seed: 310 }), 60);
    await said(w.lines, 'sent    full.dcm');
    put(w.folder, 'full-2.dcm', madeDicom({ seed: 311 }), 60);
    await said(w.lines, 'sent    full-2.dcm');
    await new Promise((r) => setTimeout(r, 700));
    await w.stop();
    expect(w.complaints).toHaveLength(1);
    expect(w.complaints[0]).toContain('cannot be kept in');
    const lines: string[] = [];
    const out = {
      print: (l: string) => lines.push(l),
      complain: (l: string) => lines.push(l),
      draw: null,
      env: {},
    };
    expect(await send([w.folder, '--server', base, '--key-file', keyFile], out)).toBe(0);
    expect(lines.sort()).toEqual([
      'there   full-2.dcm: the practice has sent it before',
      'there   full.dcm: the practice has sent it before',
    ]);
    expect(await arrivalsOf('full.dcm')).toEqual(['arrived']);
  });

  it('is asked rightly', async () => {
    const complaints: string[] = [];
    const out = { print: () => undefined, complain: (l: string) => complaints.push(l), draw: null, env: {} };
    expect(await send([root, '--server', base, '--key-file', keyFile, '--pause', '0'], out)).toBe(2);
    expect(complaints.join()).toContain('--pause: give the seconds');
  });
});

async function numberOf(): Promise<number> {
  const rows = await t.admin<{ number: number }[]>`select number from referrals where id = ${d.referralId}`;
  return rows[0]?.number ?? 0;
}
