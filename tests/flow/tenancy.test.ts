import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hashToken } from '../../apps/api/src/platform/db/database';
import { FILE_NAME, KEEPER, MACHINE_NAME, type SentCase, sentCase } from '../support/sent-case';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import {
  makeWorld,
  type OpenedReferral,
  openDraft,
  type Session,
  signIn,
  typeMeasurement,
  type World,
} from '../support/world';

let t: TestApp;
let world: World;
let vetA: Session;
let vetB: Session;
let cardiologist: Session;
let ofA: SentCase;
let draftB: OpenedReferral;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vetA = await signIn(t.app, world.people.vetA.email);
  vetB = await signIn(t.app, world.people.vetB.email);
  cardiologist = await signIn(t.app, world.people.cardiologist.email);
  ofA = await sentCase(t, vetA, world, world.practiceA);
  draftB = await openDraft(vetB, world, world.practiceB);
});
afterAll(async () => t.close());

const tokenOf = (s: Session) => decodeURIComponent(s.cookie.split('=').slice(1).join('='));

/** Runs SQL as the application's role with one member entered: what a hole in a query would see. */
async function asMember<T>(s: Session, work: (sql: postgres.TransactionSql) => Promise<T>): Promise<T> {
  const sql = postgres(t.url, { max: 1, onnotice: () => {}, connection: { role: 'chordae_app' } });
  try {
    return (await sql.begin(async (tx) => {
      await tx`select set_config('app.now', ${t.clock.now().toISOString()}, true)`;
      await tx`select * from enter(${hashToken(tokenOf(s))})`;
      return work(tx);
    })) as T;
  } finally {
    await sql.end();
  }
}

describe('a member of one practice reaches nothing of another', () => {
  it('by page and API address', async () => {
    const at = `/api/practices/${world.practiceA}`;
    for (const url of [
      `${at}/patients`,
      `${at}/patients/${ofA.patientId}`,
      `${at}/referrals`,
      `${ofA.base}/sending`,
      `${at}/outbox`,
      `/api/cases/${world.practiceA}/${ofA.referralId}`,
      `/api/cases/${world.practiceA}/${ofA.referralId}/clips/${ofA.clipId}/pack`,
    ]) {
      expect((await vetB.get(url)).status, url).toBe(404);
      expect((await vetA.get(url)).status, url).not.toBe(404);
    }
  });

  it('by mixing its own practice in the address with ids of the other', async () => {
    const at = `/api/practices/${world.practiceB}`;
    expect((await vetB.get(`${at}/patients/${ofA.patientId}`)).status).toBe(404);
    expect((await vetB.get(`/api/cases/${world.practiceB}/${ofA.referralId}`)).status).toBe(404);
    expect(
      (await vetB.get(`/api/cases/${world.practiceB}/${draftB.referralId}/clips/${ofA.clipId}/pack`)).status,
    ).toBe(404);
  });

  it('by a foreign key', async () => {
    const at = `/api/practices/${world.practiceB}`;
    const referral = {
      patientId: ofA.patientId,
      groupId: world.group,
      plan: 'collapse',
      scanId: uuidv7(),
      scannedOn: '2026-11-25',
    };
    expect((await vetB.put(`${at}/referrals/${uuidv7()}`, referral)).status).toBe(404);
    expect(
      (
        await vetB.put(`${at}/arrivals/${uuidv7()}`, {
          referralId: ofA.referralId,
          scanId: ofA.scanId,
          fileName: 'a',
          sizeBytes: 3,
          sha256: null,
        })
      ).status,
    ).toBe(404);
    expect(
      (
        await vetB.put(`${at}/arrivals/${uuidv7()}`, {
          referralId: draftB.referralId,
          scanId: ofA.scanId,
          fileName: 'a',
          sizeBytes: 3,
          sha256: null,
        })
      ).status,
    ).toBe(404);
    const mine = await t.admin<
      { id: string }[]
    >`select id from measurements where practice_id = ${world.practiceA} limit 1`;
    expect((await typeMeasurement(vetB, draftB, 'lvidd', 30, { supersedesId: mine[0]?.id })).status).toBe(
      400,
    );
    expect((await typeMeasurement(vetB, draftB, 'lvidd', 30, { clipId: ofA.clipId })).status).toBe(400);
  });

  it('by guessing an id that exists: an own row may carry the same id and tells nothing', async () => {
    const at = `/api/practices/${world.practiceB}`;
    const patient = {
      name: 'Same id',
      species: 'dog',
      breedCode: null,
      breedText: '',
      sex: 'unknown',
      neutered: null,
      birthDate: null,
      birthPrecision: null,
      chip: null,
    };
    const made = await vetB.put(`${at}/patients/${ofA.patientId}`, patient);
    expect(made.status).toBe(200);
    expect((made.body as { name: string }).name).toBe('Same id');
    expect(
      (
        (await vetA.get(`/api/practices/${world.practiceA}/patients/${ofA.patientId}`)).body as {
          name: string;
        }
      ).name,
    ).toBe('Pebble');
  });

  it('by an upload id seen somewhere', async () => {
    const arrivalId = uuidv7();
    await vetA.put(`/api/practices/${world.practiceA}/arrivals/${arrivalId}`, {
      referralId: ofA.referralId,
      scanId: ofA.scanId,
      fileName: 'x.dcm',
      sizeBytes: 4,
      sha256: null,
    });
    const tus = { 'tus-resumable': '1.0.0' };
    const meta = `arrivalId ${Buffer.from(arrivalId).toString('base64')},practiceId ${Buffer.from(world.practiceA).toString('base64')}`;
    const create = (s: Session) =>
      s.call('POST', '/api/uploads', undefined, { ...tus, 'upload-length': '4', 'upload-metadata': meta });
    expect((await create(vetB)).status).toBe(404);
    for (const method of ['HEAD', 'PATCH', 'DELETE']) {
      expect(
        (
          await vetB.call(method, `/api/uploads/${arrivalId}`, undefined, {
            ...tus,
            'upload-offset': '0',
            'content-type': 'application/offset+octet-stream',
          })
        ).status,
        method,
      ).toBe(404);
    }
    expect((await cardiologist.call('HEAD', `/api/uploads/${arrivalId}`, undefined, tus)).status).toBe(404);
  });

  it('by SQL that forgot to name its practice', async () => {
    const tables = [
      'patients',
      'keepers',
      'weights',
      'originals',
      'arrivals',
      'first_frames',
      'clip_origins',
      'mails',
      'referrals',
      'scans',
      'clips',
      'packs',
      'measurements',
      'observations',
      'interpretations',
      'events',
      'event_payloads',
      'opinion_drafts',
      'signed_opinions',
    ];
    await asMember(vetB, async (sql) => {
      for (const table of tables) {
        const rows = await sql.unsafe(
          `select count(*)::int as n from ${table} where practice_id = '${world.practiceA}'`,
        );
        expect(rows[0]?.['n'], table).toBe(0);
      }
    });
    await expect(
      asMember(
        vetB,
        (sql) =>
          sql`insert into keepers (practice_id, patient_id, name) values (${world.practiceA}, ${ofA.patientId}, 'x')`,
      ),
    ).rejects.toThrow(/row-level security/);
    await expect(asMember(vetB, (sql) => sql`select * from sessions`)).rejects.toThrow(/permission denied/);
    await expect(asMember(vetB, (sql) => sql`select password_hash from members`)).resolves.toHaveLength(1);
  });
});

describe('the reading group', () => {
  it('sees the outgoing pack where the practice sees its own', async () => {
    const url = `/api/cases/${world.practiceA}/${ofA.referralId}/clips/${ofA.clipId}/pack`;
    expect((await vetA.get(url)).raw).toBe('own pack bytes');
    expect((await cardiologist.get(url)).raw).toBe('outgoing pack bytes');
    const part = await cardiologist.call('GET', url, undefined, { range: 'bytes=9-12' });
    expect([part.status, part.raw, part.headers['content-range']]).toEqual([206, 'pack', 'bytes 9-12/19']);
  });

  it('finds neither keeper nor file names nor what the machine wrote, anywhere in the case', async () => {
    const seen = (await cardiologist.get(`/api/cases/${world.practiceA}/${ofA.referralId}`)).raw;
    for (const secret of [KEEPER, FILE_NAME, MACHINE_NAME, '+353 1 000 0009'])
      expect(seen).not.toContain(secret);
    const own = (await vetA.get(`/api/cases/${world.practiceA}/${ofA.referralId}`)).raw;
    expect(own).toContain(FILE_NAME);
    await asMember(cardiologist, async (sql) => {
      for (const table of [
        'patients',
        'keepers',
        'weights',
        'originals',
        'arrivals',
        'clip_origins',
        'mails',
      ]) {
        expect((await sql.unsafe(`select count(*)::int as n from ${table}`))[0]?.['n'], table).toBe(0);
      }
      expect((await sql`select count(*)::int as n from packs where kind = 'own'`)[0]?.['n']).toBe(0);
      expect((await sql`select count(*)::int as n from packs where kind = 'outgoing'`)[0]?.['n']).toBe(1);
    });
  });

  it('does not see a draft, and another group sees nothing', async () => {
    expect((await cardiologist.get(`/api/cases/${world.practiceB}/${draftB.referralId}`)).status).toBe(404);
    const other = await signIn(t.app, world.people.otherCardiologist.email);
    expect((await other.get(`/api/cases/${world.practiceA}/${ofA.referralId}`)).status).toBe(404);
    expect((await other.get(`/api/groups/${world.otherGroup}/queue`)).body).toEqual([]);
  });

  it('keeps its opinion draft from the practice until it is signed', async () => {
    const revision = (
      (await cardiologist.get(`/api/cases/${world.practiceA}/${ofA.referralId}`)).body as {
        referral: { revision: number };
      }
    ).referral.revision;
    await cardiologist.post(`/api/cases/${world.practiceA}/${ofA.referralId}/take`, { base: revision });
    await cardiologist.patch(`/api/cases/${world.practiceA}/${ofA.referralId}/opinion`, {
      base: 1,
      fields: { conclusion: 'Not for other eyes yet' },
    });
    expect((await cardiologist.get(`/api/cases/${world.practiceA}/${ofA.referralId}`)).raw).toContain(
      'Not for other eyes yet',
    );
    expect((await vetA.get(`/api/cases/${world.practiceA}/${ofA.referralId}`)).raw).not.toContain(
      'Not for other eyes yet',
    );
    await asMember(vetA, async (sql) => expect((await sql`select * from opinion_drafts`).length).toBe(0));
  });
});

describe('the sonographer', () => {
  it('sees both practices and only those', async () => {
    const s = await signIn(t.app, world.people.sonographer.email);
    const me = (await s.get('/api/me')).body as { organisations: { id: string }[] };
    expect(me.organisations.map((o) => o.id).sort()).toEqual([world.practiceA, world.practiceB].sort());
    expect((await s.get(`/api/practices/${world.practiceA}/referrals`)).status).toBe(200);
    expect((await s.get(`/api/practices/${world.practiceB}/referrals`)).status).toBe(200);
    expect((await s.get(`/api/groups/${world.group}/queue`)).status).toBe(404);
  });
});
