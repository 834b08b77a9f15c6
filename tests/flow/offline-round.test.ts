import { EMPTY_PLANNED, EMPTY_REPORT, type FoundPatient, type LeftWork, type Round } from '@chordae/contract';
import { caseInput, numbersHashOf } from '@chordae/interpretation';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_WORDS } from '../../apps/portal/src/host/device/fold-case';
import { settleLeft } from '../../apps/portal/src/host/device/left-practices';
import { type DeviceOnLine, deviceOnLine } from '../support/device-on-line';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import { makeWorld, PASSWORD, type Session, signIn, type World } from '../support/world';

/** A round at two practices without a line, over the real application: planned, scanned, reported, signed, sent later. */
let t: TestApp;
let world: World;
let session: Session;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  session = await signIn(t.app, world.people.sonographer.email);
});
afterAll(async () => t.close());

/** A day ahead. */
const makeDevice = () => deviceOnLine(session, { now: new Date('2026-11-26T23:00:00Z') });
type Place = { practiceId: string; referralId: string };

const cat = (name: string) => ({
  name,
  species: 'cat',
  breedCode: null,
  breedText: '',
  sex: 'female',
  neutered: true,
  birthDate: null,
  birthPrecision: null,
  chip: null,
});

/** One visit from the list to its signature, in the order in which the pages do it. */
async function wholeVisit(
  d: DeviceOnLine,
  roundId: string,
  practiceId: string,
  name: string,
  position: number,
) {
  const [visitId, patientId, referralId, scanId] = [uuidv7(), uuidv7(), uuidv7(), uuidv7()];
  const planned = { ...EMPTY_PLANNED, name, species: 'cat' };
  const place = { practiceId, referralId };
  await d.call(
    'putVisit',
    { practiceId, visitId },
    {
      roundId,
      requestId: null,
      planned,
      position,
      patientId: null,
      referralId: null,
      notScanned: null,
    },
  );
  await d.call('putPatient', { practiceId, patientId }, cat(name));
  await d.call(
    'putWeight',
    { practiceId, patientId, weightId: uuidv7() },
    { weightKg: 4.2, asTyped: '4.2 kg', guessed: false, weighedOn: '2026-11-25' },
  );
  await d.call('putReferral', place, {
    patientId,
    groupId: null,
    plan: 'cat-before-anaesthesia',
    scanId,
    scannedOn: '2026-11-25',
  });
  await d.call('patchVisit', { practiceId, visitId }, { base: 1, fields: { patientId, referralId } });
  await d.call(
    'putMeasurement',
    { ...place, measurementId: uuidv7() },
    {
      code: 'ivsd',
      value: 4.8,
      unit: 'mm',
      asTyped: '4.8 mm',
      view: 'rps-short-papillary',
      method: '2d',
      beat: 1,
      clipId: null,
      frame: null,
      source: 'typed',
      geometry: null,
      supersedesId: null,
    },
  );
  const fields = { conclusion: `${name}: walls within the limits that are named.`, next: 'Again in a year.' };
  await d.call('patchReport', place, { base: 1, bases: {}, fields, draftId: uuidv7() });
  return { visitId, patientId, ...place };
}

const numbersOf = (view: unknown) => {
  const c = view as Parameters<typeof caseInput>[0] & { referral: { plan: never; urgencyAsked: never } };
  return numbersHashOf(caseInput({ ...c, plan: c.referral.plan, urgencyAsked: c.referral.urgencyAsked }));
};

async function sign(d: DeviceOnLine, place: Place, password: string) {
  const view = (await d.call('getCase', place)) as {
    report: { draft: { revision: number; conclusion: string; next: string } };
    referral: { revision: number };
  };
  const { conclusion, next, revision } = view.report.draft;
  return d.call('signReport', place, {
    base: view.referral.revision,
    draftRevision: revision,
    fields: { ...EMPTY_REPORT, conclusion, next },
    inputHash: numbersOf(view),
    signedId: uuidv7(),
    deviceSignedAt: '2026-11-26T23:00:00.000Z',
    password,
  });
}

describe('a round without a line', () => {
  const roundId = uuidv7();
  let d: DeviceOnLine;
  let done: Awaited<ReturnType<typeof wholeVisit>>[] = [];

  it('is planned, scanned, reported and signed on the device, and shows what is done of it', async () => {
    d = makeDevice();
    await d.call('me', {});
    d.line.there = false;
    await d.call('putRound', { roundId }, { day: '2026-11-25', title: 'Coast' });
    done = [];
    for (const [n, at] of [world.practiceA, world.practiceB, world.practiceA].entries())
      done.push(await wholeVisit(d, roundId, at, `Cat ${n + 1}`, n + 1));
    for (const place of done)
      await sign(d, { practiceId: place.practiceId, referralId: place.referralId }, '');
    const round = (await d.call('getRound', { roundId })) as Round;
    expect(
      round.visits.map((v) => [v.patientName, v.case?.measurementCount, v.case?.hasReportDraft]),
    ).toEqual([
      ['Cat 1', 1, true],
      ['Cat 2', 1, true],
      ['Cat 3', 1, true],
    ]);
    const found = (await d.call('findServed', {}, undefined, { find: 'cat 2' })) as FoundPatient[];
    expect(found.map((p) => [p.name, p.practiceName])).toEqual([['Cat 2', 'Test Practice Birch']]);
    expect(d.sent()).toEqual([]);
    // A password stands on no disk.
    expect(JSON.stringify(await d.store.ops())).not.toContain('password":"');
  });

  it('arrives in order when the line is back; the signatures wait for the password and hold nothing else up', async () => {
    await d.back();
    const waiting = await d.store.ops();
    expect(waiting.map((o) => o.route)).toEqual(['signReport', 'signReport', 'signReport']);
    expect(d.sent().indexOf('putRound')).toBe(0);
    expect(d.sent().filter((r) => r === 'putReferral')).toHaveLength(3);
    const states = await t.admin`select state from referrals`;
    expect(states.map((r) => r['state'] as string)).toEqual(['draft', 'draft', 'draft']);
  });

  it('refuses a wrong password in words, and signs each report once with the right one', async () => {
    d.device.outbox.givePassword('not the password');
    await d.device.outbox.rest();
    expect((await d.store.ops())[0]).toMatchObject({ state: 'waiting', code: 'PASSWORD_WRONG' });
    d.device.outbox.givePassword(PASSWORD);
    await d.device.outbox.rest();
    expect(await d.store.ops()).toEqual([]);
    const signed = await t.admin`select referral_id, device_signed_at, signed_at from signed_reports`;
    expect(new Set(signed.map((r) => r['referral_id'] as string))).toEqual(
      new Set(done.map((p) => p.referralId)),
    );
    expect(signed).toHaveLength(3);
    // The server's time counts, though the device was a day ahead.
    for (const row of signed)
      expect((row['signed_at'] as Date).toISOString().slice(0, 10)).toBe('2026-11-25');
    const round = (await d.call('getRound', { roundId })) as Round;
    expect(round.visits.map((v) => v.case?.state)).toEqual(['reported', 'reported', 'reported']);
    await d.call('closeRound', { roundId }, { open: false });
    expect(((await d.call('getRound', { roundId })) as Round).closedAt).not.toBeNull();
  });

  it('signs at once where the line is there, and says a wrong password beside the field', async () => {
    const place = await wholeVisit(d, await openRound(d), world.practiceA, 'Cat 4', 1);
    const at = { practiceId: place.practiceId, referralId: place.referralId };
    await expect(sign(d, at, 'wrong')).rejects.toThrow(/password is not right/);
    expect(await d.store.ops()).toEqual([]);
    expect(await sign(d, at, PASSWORD)).toMatchObject({ sha256: expect.stringMatching(/^[0-9a-f]{64}$/) });
  });
});

async function openRound(d: DeviceOnLine): Promise<string> {
  const roundId = uuidv7();
  await d.call('putRound', { roundId }, { day: '2026-11-26', title: '' });
  return roundId;
}

describe('a practice that is left in the middle of a round', () => {
  it('can be read no more on the device, and gets what had not been sent, files named with their case', async () => {
    const d = makeDevice();
    const before = (await d.call('me', {})) as Parameters<typeof settleLeft>[0];
    const nothing = {
      store: d.store,
      files: { list: async () => [], drop: async () => undefined },
      leave: { leaveWork: async () => undefined, leaveFile: async () => undefined },
      now: () => '2026-11-26T23:00:00.000Z',
      newId: () => uuidv7(),
    };
    // At each opening with a line the names are learnt: afterwards they are told no more.
    expect(await settleLeft(before, nothing)).toEqual([]);
    const roundId = await openRound(d);
    d.line.there = false;
    const visit = await wholeVisit(d, roundId, world.practiceB, 'Late', 1);
    await t.admin`update memberships set ended_at = now() where member_id = ${world.people.sonographer.id} and practice_id = ${world.practiceB}`;
    d.line.there = true;
    const me = (await d.call('me', {})) as Parameters<typeof settleLeft>[0];
    const workId = uuidv7();
    const file = {
      arrivalId: uuidv7(),
      practiceId: world.practiceB,
      referralId: visit.referralId,
      scanId: uuidv7(),
      fileName: 'clip.dcm',
      sizeBytes: 3,
      sha256: null,
      announced: false,
      memberId: me.member.id,
      seq: 1,
      view: null,
      sent: false,
    };
    const left = await settleLeft(me, {
      store: d.store,
      files: { list: async () => [file], drop: async () => undefined },
      leave: {
        leaveWork: async (practiceId, id, body) => {
          const reply = await session.put(`/api/left-work/${practiceId}/${id}`, body);
          expect(reply.status).toBe(200);
        },
        leaveFile: async () => undefined,
      },
      now: () => '2026-11-26T23:00:00.000Z',
      newId: () => workId,
    });
    expect(left).toMatchObject([{ practiceName: 'Test Practice Birch', state: 'handed-over', files: 1 }]);
    expect((await d.store.ops()).filter((o) => o.practiceId === world.practiceB)).toEqual([]);
    expect(JSON.stringify(await d.store.replies(''))).not.toContain('Late');
    d.line.there = false;
    await expect(
      d.call('getCase', { practiceId: world.practiceB, referralId: visit.referralId }),
    ).rejects.toThrow();
    const vetB = await signIn(t.app, world.people.vetB.email);
    const list = (await vetB.get(`/api/practices/${world.practiceB}/left-work`)).body as LeftWork[];
    const entries = list[0]?.ops as { route?: string; upload?: boolean; referralId?: string }[];
    expect(entries.filter((e) => e.route).map((e) => e.route)).toEqual([
      'putVisit',
      'putPatient',
      'putWeight',
      'putReferral',
      'patchVisit',
      'putMeasurement',
      'patchReport',
    ]);
    expect(entries.find((e) => e.upload)).toMatchObject({ referralId: visit.referralId });
  });
});

describe('the copy of a report without words', () => {
  it('is the contract’s', () => {
    expect(NO_WORDS).toEqual(EMPTY_REPORT);
  });
});
