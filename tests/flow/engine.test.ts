/** Newer rules, earlier scans and a practice's own values, over HTTP. */
import type { EarlierScan, IndexValue } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renewOpenReferrals } from '../../apps/api/src/features/interpretations';
import { jobTable } from '../../apps/api/src/worker';
import { startTestApp, type TestApp, workOff } from '../support/test-app';
import {
  caseOf,
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
let vet: Session;
let cardiologist: Session;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  cardiologist = await signIn(t.app, world.people.cardiologist.email);
});
afterAll(async () => t.close());

const work = () => workOff(t, jobTable(t.worker) as never);

async function sent(lvidd: number, patientId?: string): Promise<OpenedReferral> {
  const d = await openDraft(vet, world, world.practiceA, {
    weightKg: 8,
    ...(patientId ? { patientId } : {}),
  });
  await vet.patch(d.base, { base: 1, fields: { question: 'How large?' } });
  await typeMeasurement(vet, d, 'lvidd', lvidd);
  expect((await vet.post(`${d.base}/send`, { base: 2, identityReason: null })).status).toBe(200);
  await work();
  return d;
}

/** As an older engine left it: another version, and an answer that did not know the size to be large. */
async function makeOld(d: OpenedReferral): Promise<void> {
  await t.admin`
    update interpretations set engine_version = '0.0.9', limits_hash = 'older',
      result = jsonb_set(jsonb_set(jsonb_set(result, '{flags}', '[]'), '{schema}', '1'), '{engine,version}', '"0.0.9"')
     where referral_id = ${d.referralId}`;
}

describe('newer rules', () => {
  it('compute open referrals again by a job, show the reader what differs, and hide it when nothing does', async () => {
    const d = await sent(38);
    const before = await caseOf(cardiologist, d);
    expect(before.engineNews).toBeNull();
    expect(before.interpretation?.flags.map((f) => f.code)).toContain('LV_LARGE_DIASTOLE');
    await makeOld(d);
    expect((await caseOf(cardiologist, d)).interpretation?.engine.version).toBe('0.0.9');
    expect((await caseOf(cardiologist, d)).interpretation?.schema).toBe(2);

    expect(await renewOpenReferrals(t.worker)).toBeGreaterThanOrEqual(1);
    await work();
    expect(await renewOpenReferrals(t.worker)).toBe(0);
    const after = await caseOf(cardiologist, d);
    expect(after.interpretation?.engine.version).toBe(before.interpretation?.engine.version);
    expect(after.engineNews).toMatchObject({ fromVersion: '0.0.9' });
    expect(after.engineNews?.differences).toContainEqual({
      kind: 'flag',
      code: 'LV_LARGE_DIASTOLE',
      key: 'limit.lviddn',
      change: 'appears',
    });

    await t.admin`update interpretations set result = ${JSON.stringify(before.interpretation)}::text::jsonb
                   where referral_id = ${d.referralId} and engine_version = '0.0.9'`;
    expect((await caseOf(cardiologist, d)).engineNews).toBeNull();
  });

  it('leave a withdrawn referral as it was', async () => {
    const d = await sent(37);
    await makeOld(d);
    const base = (await caseOf(vet, d)).referral.revision;
    expect((await vet.post(`${d.base}/withdraw`, { base, reason: 'Sent twice' })).status).toBe(200);
    await renewOpenReferrals(t.worker);
    await work();
    const closed = await caseOf(vet, d);
    expect(closed.interpretation?.engine.version).toBe('0.0.9');
    expect(closed.engineNews).toBeNull();
  });
});

describe('earlier scans of a patient', () => {
  it('are given to practice and readers with their input, without keeper, and never a draft', async () => {
    const first = await sent(30);
    const second = await sent(34, first.patientId);
    const draft = await openDraft(vet, world, world.practiceA, { patientId: first.patientId });
    const of = async (s: Session, d: OpenedReferral) =>
      (await s.get(`/api/cases/${d.practiceId}/${d.referralId}/earlier`)).body as EarlierScan[];
    for (const s of [vet, cardiologist]) {
      const found = await of(s, second);
      expect(found.map((e) => e.referralId)).toContain(first.referralId);
      expect(found.map((e) => e.referralId)).not.toContain(draft.referralId);
      expect(found[0]?.input.measurements.map((m) => m.value)).toEqual([30]);
      expect(JSON.stringify(found)).not.toContain('eeper');
    }
    const other = await signIn(t.app, world.people.vetB.email);
    expect((await other.get(`/api/cases/${second.practiceId}/${second.referralId}/earlier`)).status).toBe(
      404,
    );
  });
});

describe("a practice's values on an index", () => {
  it('are one per patient with the weight, its own only', async () => {
    const d = await sent(31);
    const url = `/api/practices/${world.practiceA}/index-values?species=dog&index=lviddn`;
    const found = (await vet.get(url)).body as IndexValue[];
    const mine = found.filter((v) => v.referralId === d.referralId);
    expect(mine).toHaveLength(1);
    expect(mine[0]).toMatchObject({ weightKg: 8 });
    // 3.1 cm / 8^0.294 (own arithmetic)
    expect(mine[0]?.value).toBeCloseTo(3.1 / 8 ** 0.294, 9);
    expect(
      (await vet.get(`/api/practices/${world.practiceA}/index-values?species=dragon&index=x`)).status,
    ).toBe(400);
    expect(
      (await vet.get(`/api/practices/${world.practiceB}/index-values?species=dog&index=lviddn`)).status,
    ).toBe(404);
  });
});
