import { createHash } from 'node:crypto';
import type { QueueRow, SendingPreview } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { jobTable } from '../../apps/api/src/worker';
import { startTestApp, type TestApp, uuidv7, workOff } from '../support/test-app';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  observe,
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
let cardiologist: Session;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  cardiologist = await signIn(t.app, world.people.cardiologist.email);
});
afterAll(async () => t.close());

const work = () => workOff(t, jobTable(t.worker) as never);

async function sendIt(d: OpenedReferral): Promise<void> {
  const before = await caseOf(vet, d);
  const patched = await vet.patch(d.base, {
    base: before.referral.revision,
    fields: { question: 'Murmur heard at vaccination: how far?' },
  });
  expect(patched.status).toBe(200);
  const now = await caseOf(vet, d);
  const sent = await vet.post(`${d.base}/send`, { base: now.referral.revision, identityReason: null });
  expect(sent.raw).toContain('revision');
  expect(sent.status).toBe(200);
}

describe('the way of a referral', () => {
  it('goes from draft to a signed opinion that cannot change', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    await typeMeasurement(vet, d, 'lvidd', 38.2);
    await typeMeasurement(vet, d, 'lvids', 21.5);
    await typeMeasurement(vet, d, 'la-sax', 24, { view: 'rps-short-aortic' });
    await typeMeasurement(vet, d, 'ao-sax', 13, { view: 'rps-short-aortic' });
    await observe(vet, d, 'murmur-grade', '4');
    await work();

    const drafted = await caseOf(vet, d);
    expect(
      drafted.interpretation?.indices.find((i) => i.code.toLowerCase().includes('lviddn'))?.value,
    ).toBeCloseTo(3.82 / 7.4 ** 0.294, 2);

    const preview = (await vet.get(`${d.base}/sending`)).body as SendingPreview;
    expect(preview.blockers.map((b) => b.code)).toEqual(['QUESTION_MISSING']);
    expect(preview.readNow).toBe(true);
    expect((await cardiologist.get(`/api/groups/${world.group}/queue`)).body).toEqual([]);
    await sendIt(d);

    const queue = (await cardiologist.get(`/api/groups/${world.group}/queue`)).body as QueueRow[];
    expect(queue.map((r) => r.id)).toContain(d.referralId);
    expect(queue.find((r) => r.id === d.referralId)?.reasons.length).toBeGreaterThan(0);

    const inQueue = await caseOf(cardiologist, d);
    expect(
      (
        await cardiologist.post(`/api/cases/${d.practiceId}/${d.referralId}/take`, {
          base: inQueue.referral.revision,
        })
      ).status,
    ).toBe(200);

    // The reader corrects a value: the old one stays, marked as superseded.
    const lvidd = inQueue.measurements.find((m) => m.code === 'lvidd');
    const corrected = await typeMeasurement(cardiologist, d, 'lvidd', 36.9, { supersedesId: lvidd?.id });
    expect(corrected.status).toBe(200);
    await work();
    const reading = await caseOf(cardiologist, d);
    expect(reading.measurements.find((m) => m.id === lvidd?.id)?.supersededById).toBe(corrected.id);
    expect(
      reading.interpretation?.indices.find((i) => i.code.toLowerCase().includes('lviddn'))?.value,
    ).toBeCloseTo(3.69 / 7.4 ** 0.294, 2);

    // Interim answer, and the vet's read-back.
    const interimId = uuidv7();
    expect(
      (
        await cardiologist.put(`/api/cases/${d.practiceId}/${d.referralId}/interims/${interimId}`, {
          text: 'No fluid. Safe to wait for the opinion.',
        })
      ).status,
    ).toBe(200);
    expect((await vet.post(`${d.base}/interims/${interimId}/read-back`, {})).status).toBe(200);

    // A wish, answered; the referral goes back to reading.
    const wishId = uuidv7();
    const wish = await cardiologist.put(`/api/cases/${d.practiceId}/${d.referralId}/wishes/${wishId}`, {
      base: reading.referral.revision,
      views: [{ view: 'rps-long-4ch', how: 'Slide back towards the apex.' }],
      text: '',
    });
    expect(wish.status).toBe(200);
    const wanted = await caseOf(vet, d);
    expect(wanted.referral.state).toBe('images-wanted');
    expect(
      (await vet.post(`${d.base}/images-sent`, { base: wanted.referral.revision, wishId, note: '' })).status,
    ).toBe(200);

    // Flags answered, opinion written, signed with the password.
    const again = await caseOf(cardiologist, d);
    for (const flag of again.interpretation?.flags ?? []) {
      await cardiologist.put(`/api/cases/${d.practiceId}/${d.referralId}/flag-answers/${uuidv7()}`, {
        flagKey: flag.key,
        answer: 'kept',
        reason: '',
      });
    }
    const written = await cardiologist.patch(`/api/cases/${d.practiceId}/${d.referralId}/opinion`, {
      base: again.draft?.revision ?? 1,
      fields: {
        conclusion: 'Fits degenerative mitral valve disease, echo criteria of stage B2.',
        next: 'Recheck in six months.',
        findings: { mitral: { state: 'described', text: 'Thickened, prolapsing.' } },
      },
    });
    expect(written.status).toBe(200);
    const draft = (await caseOf(cardiologist, d)).draft;
    const signedId = uuidv7();
    const sign = (password: string) =>
      cardiologist.post(`/api/cases/${d.practiceId}/${d.referralId}/sign`, {
        base: again.referral.revision,
        draftRevision: draft?.revision,
        inputHash: null,
        signedId,
        password,
      });
    expect((await sign('not the password')).status).toBe(403);
    // Numbers that the reader has not seen are not signed on.
    const unseen = await cardiologist.post(`/api/cases/${d.practiceId}/${d.referralId}/sign`, {
      base: again.referral.revision,
      draftRevision: draft?.revision,
      inputHash: 'another',
      signedId,
      password: PASSWORD,
    });
    expect(unseen.status).toBe(412);
    const signed = await sign(PASSWORD);
    expect(signed.raw).toContain('sha256');
    // The same request once more, after a lost reply, gets the same answer.
    expect((await sign(PASSWORD)).body).toEqual(signed.body);
    await work();

    const done = await caseOf(vet, d);
    expect(done.referral.state).toBe('answered');
    expect(done.opinions).toHaveLength(1);
    const stored = await t.admin<
      { canonical_text: string; sha256: string }[]
    >`select canonical_text, sha256 from signed_opinions where id = ${signedId}`;
    expect(
      createHash('sha256')
        .update(stored[0]?.canonical_text ?? '')
        .digest('hex'),
    ).toBe(done.opinions[0]?.sha256);
    await expect(
      t.admin`update signed_opinions set canonical_text = 'x' where id = ${signedId}`,
    ).rejects.toThrow(/append-only/);
    expect(stored[0]?.canonical_text.replace('"keeperPage":""', '')).not.toContain('keeper');

    const pdf = await vet.get(`/api/cases/${d.practiceId}/${d.referralId}/opinions/${signedId}/pdf`);
    expect(pdf.status).toBe(200);
    expect(pdf.bytes.subarray(0, 5).toString()).toBe('%PDF-');
    expect(createHash('sha256').update(pdf.bytes).digest('hex')).toBe(done.opinions[0]?.pdfSha256);
    const mails = (await vet.get(`/api/practices/${d.practiceId}/outbox`)).body as { subject: string }[];
    expect(mails.map((m) => m.subject).some((s) => s.startsWith('Opinion signed'))).toBe(true);

    const addendum = await cardiologist.post(`/api/cases/${d.practiceId}/${d.referralId}/addenda`, {
      signedId: uuidv7(),
      text: 'Blood pressure seen afterwards: 150 mmHg.',
      password: PASSWORD,
    });
    expect(addendum.status).toBe(200);
    expect((await vet.post(`${d.base}/close`, { base: done.referral.revision })).status).toBe(200);
  });

  it('keeps both values when two people edit one field of a draft', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const sonographer = await signIn(t.app, world.people.sonographer.email);
    const first = await vet.patch(d.base, { base: 1, fields: { history: 'Coughs at night.' } });
    expect(first.status).toBe(200);
    const second = await sonographer.patch(d.base, {
      base: 1,
      fields: { history: 'Coughs after exercise.', question: 'Heart or lungs?' },
    });
    expect(second.body).toMatchObject({
      applied: ['question'],
      conflicts: [
        { field: 'history', yours: 'Coughs after exercise.', theirs: 'Coughs at night.', by: 'Vet of Ash' },
      ],
    });
  });

  it('asks for a reason before an urgency below the proposed one stands', async () => {
    const d = await openDraft(vet, world, world.practiceA, { species: 'dog', weightKg: 31 });
    await observe(vet, d, 'collapse', 'yes');
    await observe(vet, d, 'weak-pulses-or-pale', 'yes');
    await observe(vet, d, 'pericardial-fluid', 'large');
    await vet.patch(d.base, { base: 1, fields: { urgencyAsked: 'routine' } });
    const without = (await vet.get(`${d.base}/sending`)).body as SendingPreview;
    expect(without.urgencyProposed).toBe('emergency');
    expect(without.urgencyThatStands).toBe('emergency');
    await vet.patch(d.base, { base: 2, fields: { urgencyReason: 'Already at the night clinic.' } });
    const reasoned = (await vet.get(`${d.base}/sending`)).body as SendingPreview;
    expect(reasoned.urgencyThatStands).toBe('routine');
  });

  it('refuses a move that the table does not know, and a stale revision', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    expect((await vet.post(`${d.base}/close`, { base: 1 })).body).toMatchObject({
      code: 'TRANSITION_REFUSED',
    });
    expect((await vet.post(`${d.base}/withdraw`, { base: 9, reason: 'double' })).status).toBe(412);
    expect((await vet.post(`${d.base}/withdraw`, { base: 1, reason: 'double' })).status).toBe(200);
  });
});
