import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hashToken } from '../../apps/api/src/platform/db/database';
import { jobTable } from '../../apps/api/src/worker';
import { startTestApp, type TestApp, uuidv7, workOff } from '../support/test-app';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  observe,
  openDraft,
  type Session,
  signIn,
  typeMeasurement,
  type World,
} from '../support/world';

let t: TestApp;
let world: World;
let vet: Session;
let cardiologist: Session;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  cardiologist = await signIn(t.app, world.people.cardiologist.email);
});
afterAll(async () => t.close());

async function draft(): Promise<OpenedReferral> {
  const d = await openDraft(vet, world, world.practiceA, { weightKg: 31 });
  await vet.patch(d.base, { base: 1, fields: { question: 'What is it?' } });
  await typeMeasurement(vet, d, 'lvidd', 38);
  return d;
}
const send = (d: OpenedReferral) => vet.post(`${d.base}/send`, { base: 2, identityReason: null });
const weigh = (d: OpenedReferral, id: string, weightKg: number) =>
  vet.put(`/api/practices/${d.practiceId}/patients/${d.patientId}/weights/${id}`, {
    weightKg,
    asTyped: `${weightKg} kg`,
    guessed: false,
    weighedOn: '2026-11-25',
  });

describe('a weight', () => {
  it('put right after sending reaches the reader, with an event and new indices', async () => {
    const d = await draft();
    expect((await send(d)).status).toBe(200);
    await workOff(t, jobTable(t.worker) as never);
    const before = await caseOf(cardiologist, d);
    expect(before.patient.weight?.weightKg).toBe(31);
    t.clock.advance(60_000);
    expect((await weigh(d, uuidv7(), 3.1)).status).toBe(200);
    await workOff(t, jobTable(t.worker) as never);
    const after = await caseOf(cardiologist, d);
    expect(after.patient.weight?.weightKg).toBe(3.1);
    expect(after.interpretation?.inputHash).not.toBe(before.interpretation?.inputHash);
    const told = after.events.find((e) => e.kind === 'patient.corrected');
    expect(told?.data).toEqual({ weightKgBefore: 31, weightKg: 3.1 });
  });

  it('under a used id is refused when it says something else, and taken when it says the same', async () => {
    const d = await draft();
    const id = uuidv7();
    expect((await weigh(d, id, 30)).status).toBe(200);
    expect((await weigh(d, id, 30)).status).toBe(200);
    expect((await weigh(d, id, 3)).body).toMatchObject({ code: 'ID_IN_USE' });
  });
});

describe('at the same moment', () => {
  it('a tick typed while the referral is sent is seen by the reading group', async () => {
    const d = await draft();
    // Holds the referral as a sending does, lets the tick come up against it, then shares and commits.
    let ticked: ReturnType<typeof observe> | undefined;
    await t.admin.begin(async (tx) => {
      await tx`select 1 from referrals where id = ${d.referralId} for update`;
      ticked = observe(vet, d, 'collapse', 'yes');
      await new Promise((done) => setTimeout(done, 400));
      await tx`update referrals set group_id = ${world.group}, state = 'sent', urgency = 'routine', urgency_rank = 2 where id = ${d.referralId}`;
      await tx`select share_with_group(${d.practiceId}, ${d.referralId}, ${world.group})`;
    });
    expect((await ticked)?.status).toBe(200);
    const rows = await t.admin`select group_id from observations where referral_id = ${d.referralId}`;
    expect(rows.map((r) => r['group_id'] as string)).toEqual([world.group]);
  });

  it('forty requests that enter a job from within their session all end', async () => {
    const token = decodeURIComponent(vet.cookie.split('=')[1] ?? '');
    const nested = () =>
      t.services.db.withSession(hashToken(token), () =>
        t.services.db.withJob(world.practiceA, 'frames', async () => true),
      );
    const all = Promise.all(Array.from({ length: 40 }, nested));
    const stuck = new Promise((done) => setTimeout(() => done('stuck'), 8000));
    expect(await Promise.race([all, stuck])).toEqual(Array.from({ length: 40 }, () => true));
  });
});

describe('after the answer', () => {
  it('the state at the scan cannot be changed any more', async () => {
    const d = await draft();
    expect((await send(d)).status).toBe(200);
    await t.admin`update referrals set state = 'answered' where id = ${d.referralId}`;
    const reply = await vet.patch(`/api/practices/${d.practiceId}/scans/${d.scanId}`, {
      base: 1,
      fields: { operator: 'Somebody else' },
    });
    expect(reply.body).toMatchObject({ code: 'STATE_CHANGED' });
  });
});
