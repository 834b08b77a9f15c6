import type { CaseView, ClipStatement, RecheckRow } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { wantsSecondRead } from '../../apps/api/src/features/queue';
import { jobTable } from '../../apps/api/src/worker';
import { type SentCase, sentCase } from '../support/sent-case';
import { startTestApp, type TestApp, uuidv7, workOff } from '../support/test-app';
import {
  caseOf,
  makeWorld,
  observe,
  openDraft,
  PASSWORD,
  type Session,
  signIn,
  type World,
} from '../support/world';

let t: TestApp;
let world: World;
let vet: Session;
let reader: Session;
let other: Session;
let d: SentCase;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  reader = await signIn(t.app, world.people.cardiologist.email);
  other = await signIn(t.app, world.people.secondCardiologist.email);
  d = await sentCase(t, vet, world, world.practiceA);
  await reader.post(at('take'), { base: (await caseOf(reader, d)).referral.revision });
});
afterAll(async () => t.close());

const at = (rest: string) => `/api/cases/${d.practiceId}/${d.referralId}/${rest}`;
const say = (who: Session, statement: ClipStatement, id = uuidv7()) =>
  who.put(at(`clips/${d.clipId}/statements/${id}`), statement);
const judged: ClipStatement = {
  kind: 'judgement',
  view: 'rps-short-papillary',
  judged: 'doubtful',
  axis: 'off-axis',
  why: 'The cavity is not round in diastole.',
};

describe('what people say about a clip', () => {
  it('is kept with who said it, and a judgement of the view moves its completeness', async () => {
    const before = await caseOf(reader, d);
    expect(before.statements).toEqual([]);
    expect((await say(reader, judged)).status).toBe(200);
    await workOff(t, jobTable(t.worker) as never);
    const after = await caseOf(reader, d);
    expect(after.statements).toMatchObject([
      { clipId: d.clipId, statement: judged, side: 'reader', by: 'First cardiologist' },
    ]);
    const view = after.interpretation?.completeness.views.find((v) => v.view === 'rps-short-papillary');
    expect(view?.state).toBe('doubtful');
  });

  it('is refused from who does not read, and about frames or points that cannot be', async () => {
    expect((await say(other, judged)).body).toMatchObject({ code: 'ALREADY_TAKEN' });
    expect((await say(reader, { ...judged, why: '' })).body).toMatchObject({ field: 'why' });
    expect((await say(reader, { kind: 'marks', endDiastole: [1], endSystole: [] })).body).toMatchObject({
      field: 'endDiastole',
    });
    const points = [
      { x: 0, y: 0 },
      { x: 0, y: 100 },
    ] as [{ x: number; y: number }, { x: number; y: number }];
    const calibration = { kind: 'calibration', from: 'two-points', points, distanceMm: 50 } as const;
    expect((await say(reader, { ...calibration, cmPerPixel: 0.06 })).body).toMatchObject({
      field: 'cmPerPixel',
    });
    expect((await say(reader, { ...calibration, cmPerPixel: 0.05 })).status).toBe(200);
  });

  it('is not said twice by a repeated request, and another content under the same id is refused', async () => {
    const id = uuidv7();
    const marks: ClipStatement = { kind: 'marks', endDiastole: [0], endSystole: [] };
    expect((await say(reader, marks, id)).status).toBe(200);
    const count = (await caseOf(reader, d)).statements.length;
    expect((await say(reader, marks, id)).status).toBe(200);
    expect((await caseOf(reader, d)).statements.length).toBe(count);
    expect((await say(reader, { ...marks, endDiastole: [] }, id)).body).toMatchObject({ code: 'ID_IN_USE' });
  });
});

describe('the thread', () => {
  it('carries questions and answers, marks the queue, and mails the other side', async () => {
    const asked = await vet.put(at(`messages/${uuidv7()}`), { text: 'May he run?' });
    expect(asked.body).toMatchObject({ side: 'practice', text: 'May he run?', by: 'Vet of Ash' });
    const row = async () =>
      (
        (await other.get(`/api/groups/${world.group}/queue`)).body as { id: string; questionOpen: boolean }[]
      ).find((r) => r.id === d.referralId);
    expect(await row()).toMatchObject({ questionOpen: true });
    expect((await reader.put(at(`messages/${uuidv7()}`), { text: 'Not yet.' })).status).toBe(200);
    expect(await row()).toMatchObject({ questionOpen: false });
    await workOff(t, jobTable(t.worker) as never);
    const mails = await t.admin`select to_email, subject from mails where referral_id = ${d.referralId}`;
    const to = (address: string) => mails.filter((m) => m['to_email'] === address).map((m) => m['subject']);
    expect(to(world.people.cardiologist.email)).toEqual(['A question on Pebble, referral 1']);
    expect(to(world.people.vetA.email)).toContain('A message on Pebble, referral 1');
    // Addresses of the readers are not the practice's to see.
    const outbox = await vet.get(`/api/practices/${d.practiceId}/outbox`);
    expect(outbox.raw).not.toContain(world.people.cardiologist.email);
    const thread = (await caseOf(vet, d)).thread.map((m) => m.text);
    expect(thread).toEqual(['May he run?', 'Not yet.']);
  });

  it('refuses other words under the same id, and a draft has none', async () => {
    const id = uuidv7();
    expect((await vet.put(at(`messages/${id}`), { text: 'One' })).status).toBe(200);
    expect((await vet.put(at(`messages/${id}`), { text: 'One' })).status).toBe(200);
    expect((await vet.put(at(`messages/${id}`), { text: 'Two' })).body).toMatchObject({ code: 'ID_IN_USE' });
    const draft = await openDraft(vet, world, world.practiceA);
    const url = `/api/cases/${draft.practiceId}/${draft.referralId}/messages/${uuidv7()}`;
    expect((await vet.put(url, { text: 'x' })).body).toMatchObject({ code: 'STATE_CHANGED' });
  });
});

describe('an emergency that nobody takes', () => {
  it('passes on to all readers and tells the practice whom to call, again and again, until somebody takes it', async () => {
    const e = await openDraft(vet, world, world.practiceA, { name: 'Flint', plan: 'breathless' });
    await vet.patch(e.base, { base: 1, fields: { question: 'Breathless', urgencyAsked: 'emergency' } });
    await observe(vet, e, 'cannot-lie', 'yes');
    const sent = await vet.post(`${e.base}/send`, { base: 2, identityReason: null });
    expect(sent.status, sent.raw).toBe(200);
    const waiting = async () =>
      (
        await t.admin<{ key: string; run_at: Date }[]>`
          select key, run_at from graphile_worker.jobs where key like ${`emergency:${e.referralId}:%`}`
      ).map((j) => [j.key.split(':').at(-1), Math.round((j.run_at.getTime() - Date.now()) / 60_000)]);
    expect(await waiting()).toEqual([['1', 10]]);
    const watch = (round: number) =>
      (jobTable(t.worker)['emergency.watch'] as (p: object) => Promise<void>)({
        practiceId: e.practiceId,
        referralId: e.referralId,
        round,
      });
    t.clock.advance(11 * 60_000);
    await watch(1);
    const c = await caseOf(vet, e);
    expect(c.events.find((x) => x.kind === 'emergency.not-taken')?.data).toEqual({ minutes: 11, round: 1 });
    const mails = await t.admin<{ to_email: string; subject: string; body: string }[]>`
      select to_email, subject, body from mails where referral_id = ${e.referralId} order by to_email`;
    const to = mails.map((m) => m.to_email);
    for (const reader of ['cardiologist', 'secondCardiologist', 'lead'] as const)
      expect(to).toContain(world.people[reader].email);
    const told = mails.find((m) => m.to_email === world.people.vetA.email);
    expect(told?.body).toContain('Test night clinic, +353 1 000 0003');
    expect(told?.body).toContain('+353 1 000 0002');
    expect(await waiting()).toContainEqual(['2', 15]);
    // Taken: nobody is told any more.
    const { referral } = await caseOf(other, e);
    await other.post(`/api/cases/${e.practiceId}/${e.referralId}/take`, { base: referral.revision });
    await watch(2);
    const after = await t.admin`select 1 from mails where referral_id = ${e.referralId}`;
    expect(after.length).toBe(mails.length);
  });

  it('is not watched when it is routine', async () => {
    const r = await openDraft(vet, world, world.practiceA, { name: 'Slate' });
    await vet.patch(r.base, { base: 1, fields: { question: 'How far?', urgencyAsked: 'routine' } });
    await observe(vet, r, 'murmur-grade', '3');
    expect((await vet.post(`${r.base}/send`, { base: 2, identityReason: null })).status).toBe(200);
    const jobs =
      await t.admin`select 1 from graphile_worker.jobs where key like ${`emergency:${r.referralId}:%`}`;
    expect(jobs.length).toBe(0);
  });
});

describe('files on their way', () => {
  it('are counted for the reading group, which sees nothing else of them', async () => {
    const put = await vet.put(`/api/practices/${d.practiceId}/arrivals/${uuidv7()}`, {
      referralId: d.referralId,
      scanId: d.scanId,
      fileName: 'secret-name.dcm',
      sizeBytes: 20,
      sha256: null,
    });
    expect(put.status, put.raw).toBe(200);
    const seen = await caseOf(reader, d);
    expect(seen.arriving).toBe(1);
    expect(JSON.stringify(seen)).not.toContain('secret-name');
  });
});

describe('phrases', () => {
  it('belong to the group, may change, and go when retired', async () => {
    const url = `/api/groups/${world.group}/phrases`;
    const id = uuidv7();
    const words = { place: 'mitral', text: 'The valve is thickened.', retired: false };
    expect((await reader.put(`${url}/${id}`, words)).body).toMatchObject({
      ...words,
      by: 'First cardiologist',
    });
    expect((await other.put(`${url}/${id}`, { ...words, text: 'The valve is thick.' })).status).toBe(200);
    expect((await reader.get(url)).body).toMatchObject([{ id, text: 'The valve is thick.' }]);
    expect((await vet.get(url)).status).toBe(404);
    await reader.put(`${url}/${id}`, { ...words, retired: true });
    expect((await reader.get(url)).body).toEqual([]);
  });
});

describe('a person’s keys', () => {
  it('are kept for that person alone', async () => {
    const url = '/api/me/desk-settings';
    expect((await reader.get(url)).body).toEqual({ keys: {} });
    await reader.put(url, { keys: { length: 'k' } });
    expect((await reader.get(url)).body).toEqual({ keys: { length: 'k' } });
    expect((await other.get(url)).body).toEqual({ keys: {} });
  });
});

describe('after the answer', () => {
  it('a recheck stands on the due list, and the outcome is asked once, two weeks later', async () => {
    const c = await caseOf(reader, d);
    await reader.patch(at('opinion'), {
      base: c.draft?.revision,
      fields: { conclusion: 'B2', recheckOn: '2027-05-25', recheckFor: 'LVIDd and the left atrium' },
    });
    for (const flag of c.interpretation?.flags ?? [])
      await reader.put(at(`flag-answers/${uuidv7()}`), { flagKey: flag.key, answer: 'kept', reason: '' });
    const ready = (await caseOf(reader, d)) as CaseView;
    const early = await vet.put(`${d.base}/outcome`, { answer: 'as-expected', words: '' });
    expect(early.body).toMatchObject({ code: 'STATE_CHANGED' });
    const signed = await reader.post(at('sign'), {
      base: ready.referral.revision,
      draftRevision: ready.draft?.revision,
      inputHash: null,
      signedId: uuidv7(),
      password: PASSWORD,
    });
    expect(signed.status, signed.raw).toBe(200);
    const due = (await vet.get(`/api/practices/${d.practiceId}/rechecks`)).body as RecheckRow[];
    expect(due).toMatchObject([
      { patientName: 'Pebble', dueOn: '2027-05-25', what: 'LVIDd and the left atrium', scannedSince: null },
    ]);
    const waiting = await t.admin<{ run_at: Date }[]>`
      select j.run_at from graphile_worker.jobs j where j.key like 'outcome:%'`;
    // The queue's clock is the database's own.
    const days = ((waiting[0]?.run_at.getTime() ?? 0) - Date.now()) / 86_400_000;
    expect(days).toBeCloseTo(14, 3);
    expect(
      (await vet.put(`${d.base}/outcome`, { answer: 'plan-changed', words: 'Started treatment' })).status,
    ).toBe(200);
    expect((await vet.put(`${d.base}/outcome`, { answer: 'died', words: '' })).body).toMatchObject({
      code: 'STATE_CHANGED',
    });
    expect((await caseOf(other, d)).outcome).toMatchObject({
      answer: 'plan-changed',
      words: 'Started treatment',
      by: 'Vet of Ash',
    });
  });
});

describe('the share of second reads', () => {
  it('is met by about that share of ids, all at 100, none at 0, and never changes for one id', () => {
    const ids = Array.from({ length: 4000 }, () => uuidv7());
    const share = (percent: number) => ids.filter((id) => wantsSecondRead(id, percent)).length / ids.length;
    expect(share(0)).toBe(0);
    expect(share(100)).toBe(1);
    // Binomial: 3.9 standard deviations of 4,000 draws at 0.1.
    expect(Math.abs(share(10) - 0.1)).toBeLessThan(0.0185);
    for (const id of ids.slice(0, 50)) expect(wantsSecondRead(id, 30)).toBe(wantsSecondRead(id, 30));
  });
});
