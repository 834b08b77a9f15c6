import { createHash } from 'node:crypto';
import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { KillableSystem, type Part } from '../support/killable-system';
import { madeDicom } from '../support/made-dicom';
import { uuidv7 } from '../support/test-app';
import { makeWorld, PASSWORD, type World } from '../support/world';

/** Ten kills at random moments while people work: what was acknowledged is there afterwards, once. */
const SEED = Number(process.env['CHORDAE_KILL_SEED'] ?? 20_261_125);
const KILLS = 10;
const system = new KillableSystem();
let world: World;
let cookie = '';

let state = SEED >>> 0;
const random = () => {
  state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
  return state / 2 ** 32;
};
const sleep = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

beforeAll(async () => {
  await system.start();
  const admin = postgres(system.databaseUrl, { max: 1, onnotice: () => {} });
  world = await makeWorld(admin);
  await admin.end();
  const reply = await insist('POST', '/api/sessions', { email: world.people.vetA.email, password: PASSWORD });
  cookie = reply.headers
    .getSetCookie()
    .map((c) => c.split(';')[0])
    .join('; ');
});
afterAll(() => system.stop());

interface Answer {
  readonly status: number;
  readonly headers: Headers;
  readonly body: string;
}

/** Tries until a reply comes that is no fault of a dying part. The same request again must be harmless: that is the design. */
async function insist(
  method: string,
  path: string,
  body?: unknown,
  headers: Record<string, string> = {},
): Promise<Answer> {
  const until = Date.now() + 60_000;
  for (;;) {
    try {
      const reply = await fetch(system.url + path, {
        method,
        headers: {
          ...(cookie ? { cookie } : {}),
          ...(body !== undefined && !(body instanceof Uint8Array)
            ? { 'content-type': 'application/json' }
            : {}),
          ...headers,
        },
        ...(body === undefined
          ? {}
          : { body: body instanceof Uint8Array ? Buffer.from(body) : JSON.stringify(body) }),
      });
      // The whole of it: a kill may come between the head of a reply and its end.
      const whole = await reply.text();
      if (reply.status < 500) return { status: reply.status, headers: reply.headers, body: whole };
    } catch {
      // the part is gone; its successor answers
    }
    if (Date.now() > until) throw new Error(`${method} ${path} was not answered for a minute`);
    await sleep(120);
  }
}

interface Draft {
  readonly referralId: string;
  readonly scanId: string;
  readonly patientId: string;
}

async function openDraft(name: string): Promise<Draft> {
  const d = { referralId: uuidv7(), scanId: uuidv7(), patientId: uuidv7() };
  const at = `/api/practices/${world.practiceA}`;
  const patient = {
    name,
    species: 'dog',
    breedCode: null,
    breedText: '',
    sex: 'female',
    neutered: null,
    birthDate: null,
    birthPrecision: null,
    chip: null,
  };
  expect((await insist('PUT', `${at}/patients/${d.patientId}`, patient)).status).toBe(200);
  expect(
    (
      await insist('PUT', `${at}/referrals/${d.referralId}`, {
        patientId: d.patientId,
        groupId: world.group,
        plan: 'collapse',
        scanId: d.scanId,
        scannedOn: '2026-11-25',
      })
    ).status,
  ).toBe(200);
  return d;
}

async function caseOf(d: Draft): Promise<{
  referral: { revision: number; state: string; question: string; history: string };
}> {
  return JSON.parse((await insist('GET', `/api/cases/${world.practiceA}/${d.referralId}`)).body);
}

const observed: { id: string; value: string }[] = [];
const written = new Map<string, string>();

const measured: { id: string; value: number }[] = [];
const uploaded: { arrivalId: string; sha256: string }[] = [];
const sentReferrals: string[] = [];

async function measure(d: Draft, n: number): Promise<void> {
  const id = uuidv7();
  const value = 10 + n / 8;
  const body = {
    code: 'ivsd',
    value,
    unit: 'mm',
    asTyped: `${value} mm`,
    view: null,
    method: '2d',
    beat: 1 + (n % 3),
    clipId: null,
    frame: null,
    source: 'typed',
    geometry: null,
    supersedesId: null,
  };
  const reply = await insist('PUT', `/api/cases/${world.practiceA}/${d.referralId}/measurements/${id}`, body);
  expect(reply.status).toBe(200);
  measured.push({ id, value });
}

async function observe(d: Draft, n: number): Promise<void> {
  const id = uuidv7();
  const value = String(1 + (n % 6));
  // The first answer of each referral stands; the others replace it in a row, each under an id of its own.
  const supersedesId = lastObservation.get(d.referralId) ?? null;
  const reply = await insist('PUT', `/api/cases/${world.practiceA}/${d.referralId}/observations/${id}`, {
    code: 'murmur-grade',
    value,
    supersedesId,
  });
  expect(reply.status, reply.body).toBe(200);
  lastObservation.set(d.referralId, id);
  observed.push({ id, value });
}
const lastObservation = new Map<string, string>();

/** Autosave of a text: the same patch again, after a lost reply, must not make a conflict of it. */
async function write(d: Draft, n: number): Promise<void> {
  const history = `Line ${n} of the history.`;
  const { referral } = await caseOf(d);
  const reply = await insist('PATCH', `/api/practices/${world.practiceA}/referrals/${d.referralId}`, {
    base: referral.revision,
    fields: { history },
  });
  expect(reply.status, reply.body).toBe(200);
  expect(JSON.parse(reply.body)).toMatchObject({ conflicts: [] });
  written.set(d.referralId, history);
}

/** tus by hand: small pieces, after each fault the offset is asked for again. */
async function upload(d: Draft, seed: number): Promise<void> {
  const bytes = madeDicom({ frames: 8, columns: 96, rows: 80, seed, name: 'EXAMPLE^FAULT' });
  const arrivalId = uuidv7();
  const at = `/api/practices/${world.practiceA}/arrivals/${arrivalId}`;
  expect(
    (
      await insist('PUT', at, {
        referralId: d.referralId,
        scanId: d.scanId,
        fileName: `f${seed}.dcm`,
        sizeBytes: bytes.length,
        sha256: null,
      })
    ).status,
  ).toBe(200);
  const tus = { 'tus-resumable': '1.0.0' };
  const meta = `arrivalId ${Buffer.from(arrivalId).toString('base64')},practiceId ${Buffer.from(world.practiceA).toString('base64')}`;
  expect(
    (
      await insist('POST', '/api/uploads', undefined, {
        ...tus,
        'upload-length': String(bytes.length),
        'upload-metadata': meta,
      })
    ).status,
  ).toBe(201);
  const url = `/api/uploads/${arrivalId}`;
  for (;;) {
    const head = await insist('HEAD', url, undefined, tus);
    const offset = Number(head.headers.get('upload-offset'));
    if (offset >= bytes.length) break;
    const piece = bytes.slice(offset, offset + 9000);
    // Not insisted on: a piece whose reply was lost may have been taken, so the offset is asked first.
    await fetch(system.url + url, {
      method: 'PATCH',
      headers: {
        ...tus,
        cookie,
        'upload-offset': String(offset),
        'content-type': 'application/offset+octet-stream',
      },
      body: Buffer.from(piece),
    }).catch(() => null);
    await sleep(60);
  }
  uploaded.push({ arrivalId, sha256: createHash('sha256').update(bytes).digest('hex') });
}

async function send(d: Draft): Promise<void> {
  for (;;) {
    const view = await caseOf(d);
    if (view.referral.state === 'sent') break;
    if (view.referral.question === '')
      await insist('PATCH', `/api/practices/${world.practiceA}/referrals/${d.referralId}`, {
        base: view.referral.revision,
        fields: { question: 'What is it?' },
      });
    else
      await insist('POST', `/api/practices/${world.practiceA}/referrals/${d.referralId}/send`, {
        base: view.referral.revision,
        identityReason: 'made for a test',
      });
  }
  sentReferrals.push(d.referralId);
}

describe('ten random kills', () => {
  it('lose nothing that was acknowledged', async () => {
    const killed: Part[] = [];
    const killing = { done: false };
    const killer = (async () => {
      for (let n = 0; n < KILLS; n += 1) {
        await sleep(300 + 900 * random());
        const part =
          n < 3
            ? (['database', 'worker', 'api'] as const)[n]
            : (['api', 'worker', 'database'] as const)[Math.floor(random() * 3)];
        if (!part) throw new Error('no such part');
        killed.push(part);
        await system.kill(part);
      }
      killing.done = true;
    })();
    const drafts = [await openDraft('Fault one'), await openDraft('Fault two')];
    const people = drafts.map(async (d, who) => {
      for (let n = 0; !killing.done || n < 12; n += 1) {
        await measure(d, n);
        await observe(d, n);
        await write(d, n);
        if (n % 5 === 0 && n < 30) await upload(d, 100 * who + n + 1);
        await sleep(40);
      }
      await send(d);
    });
    await Promise.all([killer, ...people]);
    console.log(
      `seed ${SEED}; killed: ${killed.join(', ')}; acknowledged: ${measured.length} measurements, ${observed.length} observations, ${written.size} texts, ${uploaded.length} files, ${sentReferrals.length} sendings`,
    );
    expect(killed).toHaveLength(KILLS);

    const sql = postgres(system.databaseUrl, { max: 2, onnotice: () => {} });
    try {
      const rows = await sql<{ id: string; value: number }[]>`select id, value from measurements`;
      const byId = new Map(rows.map((r) => [r.id, r.value]));
      expect(rows).toHaveLength(byId.size);
      for (const m of measured) expect(byId.get(m.id), `measurement ${m.id}`).toBe(m.value);
      const answers = new Map(
        (await sql<{ id: string; value: string }[]>`select id, value from observations`).map((r) => [
          r.id,
          r.value,
        ]),
      );
      for (const o of observed) expect(answers.get(o.id), `observation ${o.id}`).toBe(o.value);
      expect(answers.size).toBe(observed.length);
      for (const [id, history] of written)
        expect((await sql`select history from referrals where id = ${id}`)[0]?.['history']).toBe(history);
      expect(written.size).toBe(2);
      for (const id of sentReferrals) {
        expect(
          await sql`select 1 from referrals where id = ${id} and state = 'sent' and group_id = ${world.group}`,
        ).toHaveLength(1);
        expect(
          await sql`select 1 from events where referral_id = ${id} and kind = 'referral.sent'`,
        ).toHaveLength(1);
      }
      // Every original becomes one clip, also those whose worker died in the middle.
      const until = Date.now() + 60_000;
      for (;;) {
        const open = await sql`select 1 from arrivals where state in ('expected', 'arriving', 'arrived')`;
        if (open.length === 0 || Date.now() > until) break;
        await sleep(300);
      }
      for (const u of uploaded) {
        const found = await sql<{ sha256: string; state: string; clips: number }[]>`
          select o.sha256, a.state, (select count(*)::int from clips c where c.arrival_id = a.id) as clips from arrivals a join originals o on o.id = a.original_id where a.id = ${u.arrivalId}`;
        expect(found[0], u.arrivalId).toEqual({ sha256: u.sha256, state: 'read', clips: 1 });
      }
      // Given up after an error. One without an error was replaced by a newer job while its worker died: nothing is owed.
      const stuck =
        await sql`select k.identifier, j.last_error from graphile_worker._private_jobs j join graphile_worker._private_tasks k on k.id = j.task_id where j.attempts >= j.max_attempts and j.last_error is not null`;
      expect(stuck.map((j) => JSON.stringify(j))).toEqual([]);
    } finally {
      await sql.end();
    }
    const verified = await system.output(['verify', '--json']);
    expect(verified.code, verified.out).toBe(0);
    expect(JSON.parse(verified.out)).toMatchObject({ broken: [] });
  });
});
