import { mkdtempSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { type MachineKey, type RouteName, type RouteShape, routes } from '@chordae/contract';
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

/** A machine's export folder, sent by `chordae send` with a key that can be taken away. */
let t: TestApp;
let world: World;
let vet: Session;
let base: string;
let key: string;
let draft: OpenedReferral;
const keyId = uuidv7();
const folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-export-'));
const keyFile = path.join(mkdtempSync(path.join(os.tmpdir(), 'chordae-key-')), 'key');

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  base = await t.app.listen({ port: 0, host: '127.0.0.1' });
  draft = await openDraft(vet, world, world.practiceA);
  const made = await vet.put(`/api/practices/${world.practiceA}/machine-keys/${keyId}`, {
    name: 'Scan room',
  });
  expect(made.status).toBe(200);
  key = (made.body as { key: string }).key;
  writeFileSync(keyFile, `${key}\n`);
});
afterAll(async () => {
  await t.close();
  rmSync(folder, { recursive: true, force: true });
  rmSync(path.dirname(keyFile), { recursive: true, force: true });
});

/** Written a minute ago: a machine has finished with it. */
function put(name: string, bytes: Uint8Array | string): void {
  const file = path.join(folder, name);
  writeFileSync(file, bytes);
  const before = new Date(Date.now() - 60_000);
  utimesSync(file, before, before);
}

async function run(...more: string[]): Promise<{ code: number; lines: string[]; complaints: string[] }> {
  const lines: string[] = [];
  const complaints: string[] = [];
  const out = {
    print: (l: string) => lines.push(l),
    complain: (l: string) => complaints.push(l),
    draw: null,
    env: {},
  };
  const code = await send([folder, '--server', base, '--key-file', keyFile, ...more], out);
  return { code, lines, complaints };
}

const bearer = (name: RouteName, url: string, by = key) =>
  t.app.inject({
    method: routes[name].method as 'GET',
    url,
    headers: { host: 'localhost', authorization: `Bearer ${by}` },
    ...(routes[name].method === 'GET' ? {} : { payload: {} }),
  });

describe('a key of a machine', () => {
  it('opens the routes that say so and no other', async () => {
    const opened: string[] = [];
    for (const name of Object.keys(routes) as RouteName[]) {
      if (routes[name].access === 'public') continue;
      const url = routes[name].path
        .replace(':practiceId', world.practiceA)
        .replace(':referralId', draft.referralId)
        .replace(/:(\w+)/g, () => uuidv7());
      const reply = await bearer(name, url);
      // A body is looked at before anybody is let in: an empty one is refused for itself, whoever sends it.
      const unseen = reply.statusCode === 400 && (routes[name] as RouteShape).machine !== true;
      if (reply.statusCode !== 401 && !unseen) opened.push(name);
    }
    expect(opened.sort()).toEqual(['knownOriginals', 'machineSelf', 'openScans', 'putArrival']);
    const withBody = await t.app.inject({
      method: 'PATCH',
      url: `/api/practices/${world.practiceA}/referrals/${draft.referralId}`,
      headers: { host: 'localhost', authorization: `Bearer ${key}` },
      payload: { base: 1, fields: { history: 'x' } },
    });
    expect(withBody.statusCode).toBe(401);
  });

  it('opens its own practice only', async () => {
    expect((await bearer('openScans', `/api/practices/${world.practiceB}/open-scans`)).statusCode).toBe(404);
  });

  it('is shown once and never again', async () => {
    const again = await vet.put(`/api/practices/${world.practiceA}/machine-keys/${keyId}`, {
      name: 'Scan room',
    });
    expect(again.status).toBe(409);
    expect(again.raw).toContain('cannot be shown again');
    expect((await vet.get(`/api/practices/${world.practiceA}/machine-keys`)).raw).not.toContain(key);
    const stored = await t.admin`select encode(key_hash, 'hex') as h from machine_keys`;
    expect(stored[0]?.['h']).not.toContain(Buffer.from(key).toString('hex').slice(0, 32));
  });
});

describe('chordae send', () => {
  it('sends what names the patient of one open case, and says of the rest why it waits', async () => {
    put('IM_1.dcm', madeDicom({ name: 'EXAMPLE^PEBBLE', seed: 71 }));
    put('IM_2.dcm', madeDicom({ name: 'EXAMPLE^STRANGER', seed: 72 }));
    put('IM_3.dcm', madeDicom({ name: '', seed: 73 }));
    put('notes.txt', 'no picture');
    const { code, lines } = await run();
    expect(code).toBe(1);
    expect(lines).toEqual([
      expect.stringMatching(/^sent {4}IM_1.dcm, .*, to referral \d+$/),
      'waits   IM_2.dcm: no open case has a patient of that name',
      'waits   IM_3.dcm: names no patient',
      'left    notes.txt: no image',
    ]);
    const there =
      await t.admin`select file_name, state from arrivals where referral_id = ${draft.referralId}`;
    expect(there.map((r) => [r['file_name'] as string, r['state'] as string])).toEqual([
      ['IM_1.dcm', 'arrived'],
    ]);
  });

  it('sends nothing twice: not in the next pass, and not a copy under another name', async () => {
    put('copy.dcm', madeDicom({ name: 'EXAMPLE^PEBBLE', seed: 71 }));
    const { lines } = await run();
    expect(lines.filter((l) => l.startsWith('sent'))).toEqual([]);
    expect(lines).toContain('there   copy.dcm: the practice has sent it before');
    expect(await t.admin`select 1 from originals`).toHaveLength(1);
  });

  it('leaves a file that the machine is still writing for the next pass', async () => {
    writeFileSync(path.join(folder, 'IM_4.dcm'), madeDicom({ name: 'EXAMPLE^PEBBLE', seed: 74 }));
    expect((await run()).lines.join()).not.toContain('IM_4');
    put('IM_4.dcm', madeDicom({ name: 'EXAMPLE^PEBBLE', seed: 74 }));
    expect((await run()).lines.join()).toContain('sent    IM_4.dcm');
  });

  it('goes on with a file that an earlier run had announced, under the same id', async () => {
    put('IM_5.dcm', madeDicom({ name: 'EXAMPLE^PEBBLE', seed: 75 }));
    // The line is gone right after the announcement: the state says so, and the next run goes on.
    const before = await t.admin`select id from arrivals`;
    const refuse = (request: import('node:http').IncomingMessage) => {
      if (request.url === '/api/uploads' && request.method === 'POST') request.socket.destroy();
    };
    t.app.server.prependListener('request', refuse);
    const cut = run();
    await expect
      .poll(async () => (await t.admin`select 1 from arrivals`).length, { timeout: 20_000 })
      .toBe(before.length + 1);
    t.app.server.removeListener('request', refuse);
    await cut;
    await run();
    const rows = await t.admin`select id, state from arrivals where file_name = 'IM_5.dcm'`;
    expect(rows).toHaveLength(1);
    expect(rows[0]?.['state']).toBe('arrived');
  });

  it('sends what names nobody to the case that a person names', async () => {
    const number = (
      await t.admin<{ number: number }[]>`select number from referrals where id = ${draft.referralId}`
    )[0]?.number;
    const { lines } = await run('--referral', String(number));
    expect(lines.join('\n')).toContain('sent    IM_3.dcm');
    const wrong = await run('--referral', '99999');
    expect(wrong.code).toBe(1);
    expect(wrong.complaints.join()).toContain('no open case of this practice has the number 99999');
  });

  it('says what is wrong when it is asked wrongly', async () => {
    const out = { print: () => undefined, complain: (l: string) => said.push(l), draw: null, env: {} };
    const said: string[] = [];
    expect(await send([], out)).toBe(2);
    expect(await send([folder, '--server', 'nowhere', '--key-file', keyFile], out)).toBe(2);
    expect(await send([folder, '--server', base, '--key-file', '/no/such/key'], out)).toBe(2);
    expect(said.join('\n')).toMatch(/name one folder[\s\S]*name the server[\s\S]*cannot be read/);
  });

  it('stops at once when the key is revoked', async () => {
    put('IM_6.dcm', madeDicom({ name: 'EXAMPLE^PEBBLE', seed: 76 }));
    const revoked = await vet.post(`/api/practices/${world.practiceA}/machine-keys/${keyId}/revoke`, {});
    expect(revoked.status).toBe(200);
    const { code, complaints } = await run();
    expect(code).toBe(1);
    expect(complaints.join()).toContain('does not know this key, or it was revoked');
    const keys = (await vet.get(`/api/practices/${world.practiceA}/machine-keys`)).body as MachineKey[];
    expect(keys[0]).toMatchObject({ name: 'Scan room', revokedBy: 'Vet of Ash' });
    expect(keys[0]?.lastUsedAt).not.toBeNull();
  });
});
