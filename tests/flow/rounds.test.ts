import { createHash } from 'node:crypto';
import {
  EMPTY_PLANNED,
  type FoundPatient,
  type LeftWork,
  type Round,
  type RoundRow,
} from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import { makeWorld, type Session, signIn, typeMeasurement, type World } from '../support/world';

/** A sonographer's day at two practices, over HTTP. */
let t: TestApp;
let world: World;
let sonographer: Session;
let vetA: Session;
let vetB: Session;
let managerA: Session;
const roundId = uuidv7();

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  sonographer = await signIn(t.app, world.people.sonographer.email);
  vetA = await signIn(t.app, world.people.vetA.email);
  vetB = await signIn(t.app, world.people.vetB.email);
  managerA = await signIn(t.app, world.people.managerA.email);
  await sonographer.put(`/api/me/rounds/${roundId}`, { day: '2026-11-26', title: 'Thursday' });
});
afterAll(async () => t.close());

const planned = (name: string) => ({ ...EMPTY_PLANNED, name, species: 'cat' as const });
const visitBody = (part: Record<string, unknown>) => ({
  roundId,
  requestId: null,
  planned: planned('Nimbus'),
  position: 1,
  patientId: null,
  referralId: null,
  notScanned: null,
  ...part,
});
const theRound = async (who = sonographer) => (await who.get(`/api/me/rounds/${roundId}`)).body as Round;

async function newPatient(practiceId: string, name: string, chip: string | null = null): Promise<string> {
  const patientId = uuidv7();
  const made = await sonographer.put(`/api/practices/${practiceId}/patients/${patientId}`, {
    name,
    species: 'cat',
    breedCode: null,
    breedText: '',
    sex: 'female',
    neutered: null,
    birthDate: null,
    birthPrecision: null,
    chip,
  });
  expect(made.status).toBe(200);
  return patientId;
}

async function newCase(practiceId: string, patientId: string): Promise<string> {
  const referralId = uuidv7();
  const made = await sonographer.put(`/api/practices/${practiceId}/referrals/${referralId}`, {
    patientId,
    groupId: null,
    plan: 'cat-before-anaesthesia',
    scanId: uuidv7(),
    scannedOn: '2026-11-26',
  });
  expect(made.status).toBe(200);
  return referralId;
}

describe('a round', () => {
  it('takes visits at several practices in order, and the same request twice once', async () => {
    const first = uuidv7();
    for (const _ of [1, 2])
      expect(
        (
          await sonographer.put(
            `/api/practices/${world.practiceA}/visits/${first}`,
            visitBody({ position: 2 }),
          )
        ).status,
      ).toBe(200);
    await sonographer.put(
      `/api/practices/${world.practiceB}/visits/${uuidv7()}`,
      visitBody({ position: 1, planned: planned('Bramble') }),
    );
    const round = await theRound();
    expect(round.visits.map((v) => [v.practiceId, v.planned.name])).toEqual([
      [world.practiceB, 'Bramble'],
      [world.practiceA, 'Nimbus'],
    ]);
  });

  it('belongs to its member: others find neither it nor its visits to change', async () => {
    expect((await vetA.get(`/api/me/rounds/${roundId}`)).status).toBe(404);
    const round = await theRound();
    const atA = round.visits.find((v) => v.practiceId === world.practiceA);
    const patch = await vetA.patch(`/api/practices/${world.practiceA}/visits/${atA?.id}`, {
      base: 1,
      fields: { notScanned: 'x' },
    });
    expect(patch.status).toBe(404);
    const taken = await vetA.put(`/api/practices/${world.practiceA}/visits/${atA?.id}`, visitBody({}));
    expect(taken.status).toBe(404);
  });

  it('refuses a case of another patient, and shows what is done of the right one', async () => {
    const visit = (await theRound()).visits.find((v) => v.practiceId === world.practiceA);
    const [right, wrong] = [
      await newPatient(world.practiceA, 'Nimbus'),
      await newPatient(world.practiceA, 'Other'),
    ];
    const referralId = await newCase(world.practiceA, right);
    const url = `/api/practices/${world.practiceA}/visits/${visit?.id}`;
    const refused = await sonographer.patch(url, { base: 1, fields: { patientId: wrong, referralId } });
    expect(refused.status).toBe(400);
    expect(refused.raw).toContain('another patient');
    const done = await sonographer.patch(url, { base: 1, fields: { patientId: right, referralId } });
    expect(done.status).toBe(200);
    await typeMeasurement(sonographer, { practiceId: world.practiceA, referralId } as never, 'lvidd', 16.5);
    const seen = (await theRound()).visits.find((v) => v.id === visit?.id);
    expect(seen).toMatchObject({
      patientName: 'Nimbus',
      case: { state: 'draft', measurementCount: 1, arriving: 0, reportSigned: false },
    });
  });

  it('is closed only when nothing is left open, in words, and can be opened again', async () => {
    const close = (open: boolean) => sonographer.post(`/api/me/rounds/${roundId}/close`, { open });
    const refused = await close(false);
    expect(refused.status).toBe(409);
    expect(refused.raw).toContain('2 of the visits are still open');
    for (const v of (await theRound()).visits) {
      const r = await sonographer.patch(`/api/practices/${v.practiceId}/visits/${v.id}`, {
        base: v.revision,
        fields: { notScanned: 'Not fasted; the keeper comes back next week.' },
      });
      expect(r.status).toBe(200);
    }
    expect((await close(false)).status).toBe(200);
    const add = await sonographer.put(
      `/api/practices/${world.practiceA}/visits/${uuidv7()}`,
      visitBody({ position: 9 }),
    );
    expect(add.status).toBe(409);
    expect(((await sonographer.get('/api/me/rounds')).body as RoundRow[])[0]).toMatchObject({
      visits: 2,
      done: 2,
      title: 'Thursday',
    });
    expect((await close(true)).status).toBe(200);
    expect((await theRound()).closedAt).toBeNull();
  });
});

describe('finding a patient on a round', () => {
  it('finds by name, number and chip in the practices one serves, and nowhere else', async () => {
    const chip = '372000000000123';
    const here = await newPatient(world.practiceB, 'Thistle', chip);
    await t.admin`insert into practices (id, name, zone) values (${uuidv7()}, 'Elsewhere', 'Europe/Dublin')`;
    for (const find of ['thist', 'THÍST', chip, '372 000 000 000 123']) {
      const found = (await sonographer.get(`/api/me/patients?find=${encodeURIComponent(find)}`))
        .body as FoundPatient[];
      expect(found.map((p) => [p.patientId, p.practiceName])).toEqual([[here, 'Test Practice Birch']]);
    }
    expect((await vetA.get('/api/me/patients?find=thistle')).body).toEqual([]);
    expect((await managerA.get('/api/me/patients?find=nimbus')).body).toEqual([]);
  });
});

describe('a practice that asks for a scan', () => {
  it('is taken up once, by the round it stands on, and cannot be taken back then', async () => {
    const requestId = uuidv7();
    const url = `/api/practices/${world.practiceB}/scan-requests/${requestId}`;
    const asked = await vetB.put(url, {
      patientId: null,
      planned: planned('Sorrel'),
      wantedOn: '2026-11-27',
    });
    expect(asked.status).toBe(200);
    expect((await vetA.put(url, { patientId: null, planned: planned('X'), wantedOn: null })).status).toBe(
      404,
    );
    const take = (visitId: string) =>
      sonographer.put(
        `/api/practices/${world.practiceB}/visits/${visitId}`,
        visitBody({ requestId, planned: planned('Sorrel'), position: 5 }),
      );
    const visitId = uuidv7();
    expect((await take(visitId)).status).toBe(200);
    expect((await take(visitId)).status).toBe(200);
    const second = await take(uuidv7());
    expect(second.status).toBe(409);
    expect(second.raw).toContain('on the round of Sonographer of both already');
    expect((await vetB.post(`${url}/withdraw`, {})).status).toBe(409);
  });

  it('needs a name or a patient, and says so', async () => {
    const url = `/api/practices/${world.practiceB}/scan-requests/${uuidv7()}`;
    const asked = await vetB.put(url, { patientId: null, planned: EMPTY_PLANNED, wantedOn: null });
    expect(asked.status).toBe(400);
    expect(asked.raw).toContain('say which patient shall be scanned');
  });
});

describe('a member who leaves a practice in the middle of a round', () => {
  const workId = uuidv7();
  const bytes = Buffer.from('a clip that had not been sent');
  const hash = createHash('sha256').update(bytes).digest('hex');
  const putFile = (who: Session, sha256 = hash) =>
    t.app.inject({
      method: 'PUT',
      url: `/api/left-work/${world.practiceB}/${workId}/files/${uuidv7()}?name=clip.dcm&sha256=${sha256}`,
      headers: { host: 'localhost', cookie: who.cookie, 'content-type': 'application/octet-stream' },
      payload: bytes,
    });

  it('cannot hand work over while still a member, nor to a practice never belonged to', async () => {
    const url = (p: string) => `/api/left-work/${p}/${workId}`;
    expect((await sonographer.put(url(world.practiceB), { ops: [] })).status).toBe(404);
    expect((await vetA.put(url(world.practiceB), { ops: [] })).status).toBe(404);
  });

  it('reads nothing of it any more, and may still hand over what was not sent', async () => {
    const before = (await theRound()).visits.filter((v) => v.practiceId === world.practiceB);
    expect(before.length).toBeGreaterThan(0);
    await t.admin`update memberships set ended_at = now() where member_id = ${world.people.sonographer.id} and practice_id = ${world.practiceB}`;
    expect((await theRound()).visits.filter((v) => v.practiceId === world.practiceB)).toEqual([]);
    expect((await sonographer.get('/api/me/patients?find=thistle')).body).toEqual([]);
    const ops = [{ route: 'putPatient', body: { name: 'Late' } }];
    const handed = await sonographer.put(`/api/left-work/${world.practiceB}/${workId}`, { ops });
    expect(handed.status).toBe(200);
    expect((await putFile(sonographer)).statusCode).toBe(200);
    const torn = await putFile(sonographer, '0'.repeat(64));
    expect(torn.statusCode).toBe(400);
    expect(torn.body).toContain('other');
    expect((await putFile(vetA)).statusCode).toBe(404);
    // Writing only: the same person cannot read it back.
    expect((await sonographer.get(`/api/practices/${world.practiceB}/left-work`)).status).toBe(404);
  });

  it("is in the practice's hands, with the bytes as they were", async () => {
    const url = `/api/practices/${world.practiceB}/left-work`;
    const list = (await vetB.get(url)).body as LeftWork[];
    expect(list).toMatchObject([
      { fromName: 'Sonographer of both', files: [{ fileName: 'clip.dcm', sizeBytes: bytes.length }] },
    ]);
    const file = await vetB.get(`${url}/${workId}/files/${list[0]?.files[0]?.id}`);
    expect(file.bytes.equals(bytes)).toBe(true);
    expect((await vetA.get(url)).status).toBe(404);
    expect((await vetB.post(`${url}/${workId}/taken`, {})).status).toBe(200);
    expect(((await vetB.get(url)).body as LeftWork[])[0]).toMatchObject({ takenBy: 'Vet of Birch' });
  });
});
