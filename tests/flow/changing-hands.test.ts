import type { CaseView, GroupReader, QueueRow, ReadPair } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  openDraft,
  PASSWORD,
  type Session,
  signIn,
  typeMeasurement,
  type World,
} from '../support/world';

let t: TestApp;
let world: World;
let vet: Session;
let first: Session;
let second: Session;
let lead: Session;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  first = await signIn(t.app, world.people.cardiologist.email);
  second = await signIn(t.app, world.people.secondCardiologist.email);
  lead = await signIn(t.app, world.people.lead.email);
});
afterAll(async () => t.close());

async function sent(): Promise<OpenedReferral> {
  const d = await openDraft(vet, world, world.practiceA);
  await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } });
  await typeMeasurement(vet, d, 'lvidd', 31);
  const reply = await vet.post(`${d.base}/send`, { base: 2, identityReason: null });
  expect(reply.status, reply.raw).toBe(200);
  return d;
}
const at = (d: OpenedReferral, rest: string) => `/api/cases/${d.practiceId}/${d.referralId}/${rest}`;
const revisionOf = async (who: Session, d: OpenedReferral) => (await caseOf(who, d)).referral.revision;
async function take(who: Session, d: OpenedReferral) {
  const reply = await who.post(at(d, 'take'), { base: await revisionOf(who, d) });
  expect(reply.status, reply.raw).toBe(200);
}
async function write(who: Session, d: OpenedReferral, fields: Record<string, unknown>) {
  const { draft } = await caseOf(who, d);
  return who.patch(at(d, 'opinion'), { base: draft?.revision ?? 1, fields });
}
const rowOf = async (who: Session, d: OpenedReferral, scope = 'open') =>
  ((await who.get(`/api/groups/${world.group}/queue?scope=${scope}`)).body as QueueRow[]).find(
    (r) => r.id === d.referralId,
  );

describe('handing over', () => {
  it('puts the referral before the other reader with its reason and all that was written', async () => {
    const d = await sent();
    await take(first, d);
    await write(first, d, { conclusion: 'Half written' });
    const to = world.people.secondCardiologist.id;
    const reply = await first.post(at(d, 'hand-over'), {
      base: await revisionOf(first, d),
      toMemberId: to,
      reason: 'My shift ends',
    });
    expect(reply.status, reply.raw).toBe(200);
    expect(await rowOf(second, d)).toMatchObject({
      state: 'sent',
      handedToMe: { by: 'First cardiologist', reason: 'My shift ends' },
      handedToName: 'Second cardiologist',
    });
    expect(await rowOf(first, d)).toMatchObject({ handedToMe: null, handedToName: 'Second cardiologist' });
    await take(second, d);
    const now = await caseOf(second, d);
    expect(now.draft?.conclusion).toBe('Half written');
    expect(now.handedTo).toBeNull();
    expect((await write(first, d, { conclusion: 'Too late' })).body).toMatchObject({ code: 'ALREADY_TAKEN' });
  });

  it('is refused to somebody outside the group, to oneself, and by who does not read it', async () => {
    const d = await sent();
    await take(first, d);
    const hand = async (who: Session, toMemberId: string) =>
      who.post(at(d, 'hand-over'), { base: await revisionOf(first, d), toMemberId, reason: 'x' });
    const { otherCardiologist, cardiologist, lead: leader } = world.people;
    expect((await hand(first, otherCardiologist.id)).body).toMatchObject({ field: 'toMemberId' });
    expect((await hand(first, cardiologist.id)).body).toMatchObject({ field: 'toMemberId' });
    expect((await hand(second, leader.id)).body).toMatchObject({ code: 'ALREADY_TAKEN' });
    expect((await hand(lead, leader.id)).status).toBe(200);
  });
});

describe('taking over', () => {
  it('goes on with the draft of the reader before, who then cannot write', async () => {
    const d = await sent();
    await take(first, d);
    await write(first, d, { conclusion: 'As far as I came' });
    const reply = await second.post(at(d, 'take-over'), {
      base: await revisionOf(second, d),
      reason: 'Called away',
    });
    expect(reply.status, reply.raw).toBe(200);
    const now = await caseOf(second, d);
    expect(now.draft?.conclusion).toBe('As far as I came');
    expect(now.reader?.name).toBe('Second cardiologist');
    expect(now.events.find((e) => e.kind === 'referral.taken-over')?.data).toEqual({
      from: 'First cardiologist',
      reason: 'Called away',
    });
    expect((await write(first, d, { conclusion: 'x' })).body).toMatchObject({ code: 'ALREADY_TAKEN' });
    expect((await caseOf(first, d)).draft).toBeNull();
  });

  it('is refused at a revision that is not the newest, and on what nobody reads', async () => {
    const d = await sent();
    expect((await second.post(at(d, 'take-over'), { base: 3, reason: 'x' })).body).toMatchObject({
      code: 'STATE_CHANGED',
    });
    await take(first, d);
    expect((await second.post(at(d, 'take-over'), { base: 1, reason: 'x' })).body).toMatchObject({
      code: 'REVISION_STALE',
    });
  });
});

describe('the load of the group', () => {
  it('counts what each reads, what was handed over and what was answered in a week', async () => {
    const before = (await lead.get(`/api/groups/${world.group}/readers`)).body as GroupReader[];
    const d = await sent();
    await take(first, d);
    const after = (await lead.get(`/api/groups/${world.group}/readers`)).body as GroupReader[];
    const of = (all: GroupReader[]) => all.find((r) => r.name === 'First cardiologist')?.reading ?? -1;
    expect(of(after)).toBe(of(before) + 1);
    expect(after.map((r) => r.name)).not.toContain('Cardiologist elsewhere');
  });
});

describe('a second read', () => {
  async function withFirstOpen() {
    const d = await sent();
    await take(first, d);
    await typeMeasurement(first, d, 'lvidd', 35.5);
    await write(first, d, { conclusion: 'First says B2', stage: 'B2' });
    return d;
  }
  const begin = (who: Session, d: OpenedReferral, id = uuidv7()) =>
    who.put(at(d, `second-reads/${id}`), {}).then((reply) => ({ ...reply, id }));
  async function sign(d: OpenedReferral) {
    const c = await caseOf(first, d);
    return first.post(at(d, 'sign'), {
      base: c.referral.revision,
      draftRevision: c.draft?.revision,
      inputHash: null,
      signedId: uuidv7(),
      password: PASSWORD,
    });
  }

  it('shows nothing of the first reader until both are signed', async () => {
    const d = await withFirstOpen();
    const started = await begin(second, d);
    expect(started.status, started.raw).toBe(200);
    const hidden = async () => JSON.stringify(await caseOf(second, d));
    expect(await hidden()).not.toContain('First says');
    expect((await caseOf(second, d)).measurements.map((m) => m.value)).toEqual([31]);
    const signed = await sign(d);
    expect(signed.status, signed.raw).toBe(200);
    expect(await hidden()).not.toContain('First says');
    expect(((await lead.get(`/api/groups/${world.group}/read-pairs`)).body as ReadPair[]).length).toBe(0);
    expect(await rowOf(second, d, 'mine')).toMatchObject({ id: d.referralId, mine: true });

    const patched = await second.patch(at(d, `second-reads/${started.id}`), {
      base: 1,
      fields: { conclusion: 'Second says B1', stage: 'B1', urgency: 'routine' },
    });
    expect(patched.body).toMatchObject({ applied: ['conclusion', 'stage', 'urgency'], conflicts: [] });
    const done = await second.post(at(d, `second-reads/${started.id}/sign`), { base: 2, password: PASSWORD });
    expect(done.status, done.raw).toBe(200);
    expect(await hidden()).toContain('First says');
    const pairs = (await lead.get(`/api/groups/${world.group}/read-pairs`)).body as ReadPair[];
    expect(pairs).toMatchObject([
      {
        referralId: d.referralId,
        firstReader: 'First cardiologist',
        secondReader: 'Second cardiologist',
        first: { stage: 'B2' },
        second: { stage: 'B1' },
        values: [{ code: 'lvidd', value: 35.5 }],
      },
    ]);
    expect(
      (await second.patch(at(d, `second-reads/${started.id}`), { base: 2, fields: { stage: 'x' } })).body,
    ).toMatchObject({ code: 'STATE_CHANGED' });
  });

  it('is never seen by the first reader or the practice', async () => {
    const d = await withFirstOpen();
    const { id } = await begin(second, d);
    await second.patch(at(d, `second-reads/${id}`), {
      base: 1,
      fields: { conclusion: 'Second thinks otherwise' },
    });
    for (const who of [first, vet, lead])
      expect(JSON.stringify(await caseOf(who, d))).not.toContain('Second thinks otherwise');
    expect((await first.patch(at(d, `second-reads/${id}`), { base: 1, fields: {} })).status).toBe(404);
  });

  it('is refused to who read it first, to who looked since, and a second time', async () => {
    const d = await withFirstOpen();
    expect((await begin(first, d)).body).toMatchObject({ code: 'NOT_READY' });
    t.clock.advance(60_000);
    await caseOf(lead, d);
    expect((await begin(lead, d)).body).toMatchObject({ code: 'NOT_READY' });
    expect((await begin(second, d)).status).toBe(200);
    expect((await begin(second, d)).body).toMatchObject({ code: 'ALREADY_TAKEN' });
  });

  it('is asked for by the share that the lead set, and only a lead sets it', async () => {
    const settings = { secondReadPercent: 100, marksOff: [] };
    expect((await first.put(`/api/groups/${world.group}/settings`, settings)).status).toBe(403);
    expect((await lead.put(`/api/groups/${world.group}/settings`, settings)).body).toEqual(settings);
    const d = await sent();
    expect(await rowOf(second, d)).toMatchObject({ secondReadOpen: true });
    expect((await caseOf(vet, d)).secondReadWanted).toBe(false);
    await lead.put(`/api/groups/${world.group}/settings`, { ...settings, secondReadPercent: 0 });
    expect(await rowOf(second, await sent())).toMatchObject({ secondReadOpen: false });
  });
});

describe('withdrawn while reading', () => {
  it('tells the reader, and keeps what was written', async () => {
    const d = await sent();
    await take(first, d);
    await write(first, d, { conclusion: 'In the middle of it' });
    const withdrawn = await vet.post(`${d.base}/withdraw`, {
      base: await revisionOf(vet, d),
      reason: 'The patient died',
    });
    expect(withdrawn.status, withdrawn.raw).toBe(200);
    const more = await write(first, d, { conclusion: 'One word more' });
    expect(more.body).toMatchObject({ code: 'STATE_CHANGED' });
    const kept = await t.admin`select fields from opinion_drafts where referral_id = ${d.referralId}`;
    expect((kept[0]?.['fields'] as CaseView['draft'])?.conclusion).toBe('In the middle of it');
  });
});
