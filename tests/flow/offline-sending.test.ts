import type { CaseView } from '@chordae/contract';
import { caseInput, numbersHashOf } from '@chordae/interpretation';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type DeviceOnLine, deviceOnLine } from '../support/device-on-line';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import {
  makeWorld,
  type OpenedReferral,
  openDraft,
  PASSWORD,
  type Session,
  signIn,
  typeMeasurement,
  type World,
} from '../support/world';

/** A referral that was sent without a line: what waits, what goes, and what the server refuses, over the real application. */
let t: TestApp;
let world: World;
let session: Session;
let vet: Session;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  session = await signIn(t.app, world.people.sonographer.email);
  vet = await signIn(t.app, world.people.vetA.email);
});
afterAll(async () => t.close());

/** A day ahead. */
const makeDevice = (store?: DeviceOnLine['store']) =>
  deviceOnLine(session, { now: new Date('2026-11-26T23:00:00Z'), ...(store ? { store } : {}) });

async function viewOf(d: DeviceOnLine, at: OpenedReferral): Promise<CaseView> {
  return (await d.call('getCase', { practiceId: at.practiceId, referralId: at.referralId })) as CaseView;
}

/** What the dialog of sending keeps, of what its person sees. */
async function ask(
  d: DeviceOnLine,
  at: OpenedReferral,
  more: Record<string, unknown> = {},
): Promise<unknown> {
  const view = await viewOf(d, at);
  const { plan, urgencyAsked } = view.referral;
  return d.call(
    'sendReferral',
    { practiceId: at.practiceId, referralId: at.referralId },
    {
      base: view.referral.revision,
      inputHash: numbersHashOf(caseInput({ ...view, plan, urgencyAsked })),
      identityReason: null,
      differencesSeen: 0,
      sendingId: uuidv7(),
      ...more,
    },
  );
}

/** A draft with a number that the device has read, and the line then cut. */
async function seenDraft(name: string): Promise<{ d: DeviceOnLine; at: OpenedReferral }> {
  const d = makeDevice();
  await d.call('me', {});
  const at = await openDraft(session, world, world.practiceA, { name });
  await typeMeasurement(session, at, 'lvidd', 38.2);
  await viewOf(d, at);
  d.line.there = false;
  return { d, at };
}
const question = (d: DeviceOnLine, at: OpenedReferral, text = 'How far is it?') =>
  d.call(
    'patchReferral',
    { practiceId: at.practiceId, referralId: at.referralId },
    { base: 1, fields: { question: text } },
  );
const stateOf = async (at: OpenedReferral) =>
  (await t.admin`select state from referrals where id = ${at.referralId}`)[0]?.['state'] as string;
const timesSent = async (at: OpenedReferral) =>
  (await t.admin`select 1 from events where referral_id = ${at.referralId} and kind = 'referral.sent'`)
    .length;
const waiting = async (d: DeviceOnLine) =>
  (await d.store.ops()).map(({ route, state, code, says }) => ({ route, state, code, says }));

describe('a referral that is sent without a line', () => {
  it('is nobody’s until it has arrived, goes behind its drafts and files’ headers, and is seen as sent from then on', async () => {
    const { d, at } = await seenDraft('Sorrel');
    const announced: string[] = [];
    d.device.before('sendReferral', async ({ params }) => {
      announced.push(`${params['referralId']} after ${d.sent().at(-1)}`);
    });
    await question(d, at);
    await ask(d, at);
    expect((await viewOf(d, at)).referral.state).toBe('draft');
    expect(d.device.outbox.read().map((o) => o.about)).toEqual(['Sorrel', 'Sorrel']);
    await d.back();
    expect(d.sent()).toEqual(['patchReferral', 'sendReferral']);
    expect(announced).toEqual([`${at.referralId} after patchReferral`]);
    expect(await stateOf(at)).toBe('sent');
    // The line is gone again before anything was read: nobody works on in what is sent.
    d.line.there = false;
    expect((await viewOf(d, at)).referral).toMatchObject({ state: 'sent', question: 'How far is it?' });
  });

  it('is sent once when the reply was lost and the page that made it was killed', async () => {
    const { d, at } = await seenDraft('Fern');
    await question(d, at);
    await ask(d, at);
    d.line.loseReplyOf = 'sendReferral';
    await d.back();
    expect((await waiting(d)).map((o) => o.route)).toEqual(['sendReferral']);
    const after = makeDevice(d.store);
    await after.device.call('me', {});
    await after.device.outbox.rest();
    expect(await d.store.ops()).toEqual([]);
    expect([await stateOf(at), await timesSent(at)]).toEqual(['sent', 1]);
  });

  it('waits on while its files cannot be told of, and holds back nothing of others', async () => {
    const { d, at } = await seenDraft('Moss');
    let fails = true;
    d.device.before('sendReferral', async () => {
      if (fails)
        throw new (await import('../../apps/portal/src/host/route-fetch')).ApiError('NO_NETWORK', 'cut');
    });
    await question(d, at);
    await ask(d, at);
    await d.back();
    expect(await waiting(d)).toMatchObject([{ route: 'sendReferral', state: 'waiting' }]);
    fails = false;
    await d.back();
    expect(await stateOf(at)).toBe('sent');
  });

  it('goes behind the signature of its report, which waits for a password', async () => {
    const { d, at } = await seenDraft('Otto');
    const place = { practiceId: at.practiceId, referralId: at.referralId };
    const words = { conclusion: 'Large.', next: '' };
    await d.call('patchReport', place, { base: 1, bases: {}, fields: words, draftId: uuidv7() });
    const view = await viewOf(d, at);
    const { EMPTY_REPORT } = await import('@chordae/contract');
    await d.call('signReport', place, {
      base: view.referral.revision,
      draftRevision: view.report.draft?.revision ?? 1,
      fields: { ...EMPTY_REPORT, ...words },
      inputHash: null,
      signedId: uuidv7(),
      deviceSignedAt: '2026-11-26T23:00:00.000Z',
      password: '',
    });
    await question(d, at);
    await ask(d, at);
    await d.back();
    expect((await waiting(d)).map((o) => o.route)).toEqual(['signReport', 'patchReferral', 'sendReferral']);
    expect(await stateOf(at)).toBe('draft');
    d.device.outbox.givePassword(PASSWORD);
    await d.device.outbox.rest();
    expect([await stateOf(at), await waiting(d)]).toEqual(['sent', []]);
  });
});

describe('what the server refuses later', () => {
  const refusedAs = async (d: DeviceOnLine) => {
    await d.back();
    return waiting(d);
  };

  it('is a referral without a question: it is said, and the question written behind it goes', async () => {
    const { d, at } = await seenDraft('Pip');
    await ask(d, at);
    await question(d, at, 'Is it the heart?');
    expect(await refusedAs(d)).toEqual([
      {
        route: 'sendReferral',
        state: 'refused',
        code: 'NOT_READY',
        says: 'The question is empty: write in one sentence what you want to know.',
      },
    ]);
    expect((await viewOf(d, at)).referral).toMatchObject({ state: 'draft', question: 'Is it the heart?' });
    await d.device.outbox.tryAgain((await d.store.ops())[0]?.seq ?? 0);
    await d.device.outbox.rest();
    expect(await stateOf(at)).toBe('sent');
  });

  it('is one whose question somebody else changed since it was looked over', async () => {
    const { d, at } = await seenDraft('Nimbus');
    await question(d, at);
    await ask(d, at);
    const changed = await vet.patch(at.base, { base: 1, fields: { history: 'Collapsed on Sunday.' } });
    expect(changed.status).toBe(200);
    expect(await refusedAs(d)).toMatchObject([
      {
        code: 'REVISION_STALE',
        says: expect.stringContaining('Somebody else changed the question, the history'),
      },
    ]);
    expect(await stateOf(at)).toBe('draft');
    // Looked over again with the other's words before one's eyes, it goes; the dialog puts away what was refused.
    await d.device.outbox.throwAway((await d.store.ops())[0]?.seq ?? 0);
    await ask(d, at);
    expect([await stateOf(at), await timesSent(at)]).toEqual(['sent', 1]);
  });

  it('is one whose numbers somebody else changed since', async () => {
    const { d, at } = await seenDraft('Heather');
    await question(d, at);
    await ask(d, at);
    await typeMeasurement(vet, at, 'lvids', 30.1);
    expect(await refusedAs(d)).toMatchObject([
      { code: 'REVISION_STALE', says: expect.stringContaining('Numbers of this case were changed') },
    ]);
    expect(await stateOf(at)).toBe('draft');
  });

  it('is one with a file of another animal that its sender had not seen, whatever reason was given for others', async () => {
    const { d, at } = await seenDraft('Thistle');
    await question(d, at);
    await ask(d, at, { identityReason: 'Spelt otherwise on the machine.', differencesSeen: 0 });
    const machine = Object.fromEntries(
      [
        'patientNumber',
        'speciesText',
        'breedText',
        'sexText',
        'birthDate',
        'weightKg',
        'scannedOn',
        'localTime',
        'heartRate',
        'manufacturer',
        'model',
        'probe',
      ].map((k) => [k, null]),
    );
    const told = await vet.put(`/api/practices/${at.practiceId}/arrivals/${uuidv7()}`, {
      referralId: at.referralId,
      scanId: at.scanId,
      fileName: 'a.dcm',
      sizeBytes: 10,
      sha256: null,
      machine: { ...machine, patientName: 'EXAMPLE^BRACKEN' },
    });
    expect(told.raw).toContain('a.dcm');
    expect(await refusedAs(d)).toMatchObject([{ code: 'IDENTITY_UNRESOLVED' }]);
    expect(await stateOf(at)).toBe('draft');
    await d.device.outbox.throwAway((await d.store.ops())[0]?.seq ?? 0);
    await ask(d, at, { identityReason: 'Spelt otherwise on the machine.', differencesSeen: 1 });
    expect(await stateOf(at)).toBe('sent');
  });

  it('is one to a group with which the agreement has ended, and one of a case that was taken back', async () => {
    const ended = await seenDraft('Bracken');
    const back = await seenDraft('Bramble');
    for (const { d, at } of [ended, back]) {
      await question(d, at);
      await ask(d, at);
    }
    await t.admin`update agreements set ended_at = now() where practice_id = ${world.practiceA} and group_id = ${world.group}`;
    expect(await refusedAs(ended.d)).toMatchObject([{ code: 'AGREEMENT_MISSING' }]);
    await t.admin`update agreements set ended_at = null where practice_id = ${world.practiceA} and group_id = ${world.group}`;
    const withdrawn = await vet.post(`${back.at.base}/withdraw`, { base: 1, reason: 'Went home.' });
    expect(withdrawn.status).toBe(200);
    const ops = await refusedAs(back.d);
    // The question was refused first; the sending rests on it and goes nowhere.
    expect(ops).toMatchObject([
      { route: 'patchReferral', state: 'refused', code: 'STATE_CHANGED' },
      { route: 'sendReferral', state: 'waiting' },
    ]);
    expect([await timesSent(ended.at), await timesSent(back.at)]).toEqual([0, 0]);
  });
});
