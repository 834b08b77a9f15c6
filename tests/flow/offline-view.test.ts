import { EMPTY_STATE_AT_SCAN, type Me, type PatientRecord, type RouteName } from '@chordae/contract';
import { caseInput, interpret } from '@chordae/interpretation';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NOT_ASKED } from '../../apps/portal/src/host/device/world';
import { type DeviceOnLine, deviceOnLine } from '../support/device-on-line';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import { makeWorld, type Session, signIn, type World } from '../support/world';

/** What a device shows without a line is what the server shows once it has everything: over the real application. */
let t: TestApp;
let world: World;
let session: Session;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  session = await signIn(t.app, world.people.sonographer.email);
});
afterAll(async () => t.close());

/** A day behind. */
const makeDevice = (store?: DeviceOnLine['store']) =>
  deviceOnLine(session, { now: new Date('2026-11-24T03:00:00Z'), ...(store ? { store } : {}) });

const PATIENT = {
  name: 'Bracken',
  species: 'cat',
  breedCode: null,
  breedText: 'mixed',
  sex: 'male',
  neutered: true,
  birthDate: '2019-05-14',
  birthPrecision: 'month',
  chip: '900 001',
};

function measurement(code: string, value: number, more: Record<string, unknown> = {}) {
  return {
    code,
    value,
    unit: 'mm',
    asTyped: `${value} mm`,
    view: 'rps-short-papillary',
    method: '2d',
    beat: 1,
    clipId: null,
    frame: null,
    source: 'typed',
    geometry: null,
    supersedesId: null,
    ...more,
  };
}

/** A whole case, made and changed without a line. */
async function makeCase(d: DeviceOnLine) {
  const practiceId = world.practiceA;
  const [patientId, referralId, scanId] = [uuidv7(), uuidv7(), uuidv7()] as [string, string, string];
  const ids = { practiceId, patientId, referralId, scanId };
  const put = (route: RouteName, params: Record<string, string>, body: unknown) =>
    d.device.call(route, { params: { practiceId, ...params }, body });
  await put('putPatient', { patientId }, PATIENT);
  await put('putKeeper', { patientId }, { name: 'Invented keeper', phone: '', email: '' });
  await put(
    'putWeight',
    { patientId, weightId: uuidv7() },
    { weightKg: 5.1, asTyped: '5,1 kg', guessed: true, weighedOn: '2026-11-20' },
  );
  await put(
    'putReferral',
    { referralId },
    { patientId, groupId: world.group, plan: 'breathless', scanId, scannedOn: '2026-11-25' },
  );
  await put(
    'putWeight',
    { patientId, weightId: uuidv7() },
    { weightKg: 4.6, asTyped: '4.6 kg', guessed: false, weighedOn: '2026-11-25' },
  );
  await put('patchPatient', { patientId }, { base: 1, fields: { breedText: 'domestic shorthair' } });
  await put('patchReferral', { referralId }, { base: 1, fields: { question: 'Is it' } });
  await put('patchReferral', { referralId }, { base: 1, fields: { question: 'Is it the heart?' } });
  const state = { ...EMPTY_STATE_AT_SCAN, sedative: 'none', posture: 'sternal' };
  await put('patchScan', { scanId }, { base: 1, fields: { state, machine: 'Cart in room 2' } });
  const [first, second, third] = [uuidv7(), uuidv7(), uuidv7()] as [string, string, string];
  await put('putMeasurement', { referralId, measurementId: first }, measurement('ivsd', 6.9));
  await put(
    'putMeasurement',
    { referralId, measurementId: second },
    measurement('ivsd', 6.4, { supersedesId: first }),
  );
  await put('putMeasurement', { referralId, measurementId: third }, measurement('la-sax', 17.5));
  const [yes, no] = [uuidv7(), uuidv7()] as [string, string];
  const answer = (code: string, value: string, supersedesId: string | null = null) => ({
    code,
    value,
    supersedesId,
  });
  await put('putObservation', { referralId, observationId: yes }, answer('open-mouth-breathing', 'no'));
  await put('putObservation', { referralId, observationId: no }, answer('open-mouth-breathing', 'yes', yes));
  return ids;
}

/** A view without what only the server can know: its numbers, its clock, its own computing and its log. */
function comparable(view: unknown) {
  const v = structuredClone(view) as Record<string, never> & {
    referral: Record<string, unknown>;
    patient: Record<string, unknown>;
    scans: Record<string, unknown>[];
    measurements: Record<string, unknown>[];
    observations: Record<string, unknown>[];
  };
  for (const key of ['number', 'revision', 'createdAt']) delete v.referral[key];
  for (const key of ['number', 'revision']) delete v.patient[key];
  for (const scan of v.scans) delete scan['revision'];
  for (const one of [...v.measurements, ...v.observations]) delete one['madeAt'];
  // The clock of these tests stands still, so the server orders what was made by its ids, which end in chance.
  for (const list of [v.measurements, v.observations])
    list.sort((a, b) => String(a['id']).localeCompare(String(b['id'])));
  const { interpretation: _i, events: _e, ...rest } = v as Record<string, unknown>;
  return rest;
}
const engineOf = (view: never) => {
  const c = view as Parameters<typeof caseInput>[0] & {
    referral: { plan: never; urgencyAsked: never };
  };
  return interpret(caseInput({ ...c, plan: c.referral.plan, urgencyAsked: c.referral.urgencyAsked }));
};

describe('a case made without a line', () => {
  it('looks as it will look on the server, flags and completeness included, and arrives once and in order', async () => {
    const d = makeDevice();
    await d.device.call('me', {});
    d.line.there = false;
    const { practiceId, patientId, referralId } = await makeCase(d);
    const ask = { params: { practiceId, referralId } };
    const offline = await d.device.call('getCase', ask);
    const patientOffline = await d.device.call('getPatient', { params: { practiceId, patientId } });
    expect(offline).toMatchObject({
      patient: {
        name: 'Bracken',
        breedText: 'domestic shorthair',
        weight: { weightKg: 4.6, guessed: false },
      },
      referral: {
        question: 'Is it the heart?',
        practiceName: 'Test Practice Ash',
        groupName: 'Test Readers',
      },
    });
    expect(d.device.asOf('getCase', ask.params)).toBeNull();
    expect(d.asked.filter((a) => a.route !== 'me')).toEqual([]);

    await d.back();
    expect(await d.store.ops()).toEqual([]);
    const online = await d.device.call('getCase', ask);
    expect(comparable(offline)).toEqual(comparable(online));
    expect(d.device.asOf('getCase', ask.params)).toBeUndefined();
    const [said, there] = [engineOf(offline as never), engineOf(online as never)];
    expect(said.flags.length).toBeGreaterThan(0);
    expect(said.flags).toEqual(there.flags);
    expect(said.completeness).toEqual(there.completeness);
    const patientOnline = await d.device.call('getPatient', { params: { practiceId, patientId } });
    const bare = (p: unknown) => {
      const { number: _n, revision: _r, createdAt: _c, ...rest } = p as PatientRecord;
      return rest;
    };
    expect(bare(patientOffline)).toEqual(bare(patientOnline));
    const writes = d.sent();
    expect(writes).toEqual([
      'putPatient',
      'putKeeper',
      'putWeight',
      'putReferral',
      'putWeight',
      'patchPatient',
      'patchReferral',
      'patchReferral',
      'patchScan',
      'putMeasurement',
      'putMeasurement',
      'putMeasurement',
      'putObservation',
      'putObservation',
    ]);
    // One's own second text rests on the first: no conflict with oneself.
    expect(await d.store.conflicts()).toEqual([]);
  });

  it('is whole after a reply was lost, and after the page that made it was killed half way', async () => {
    const d = makeDevice();
    await d.device.call('me', {});
    d.line.there = false;
    const { practiceId, referralId } = await makeCase(d);
    d.line.loseReplyOf = 'putReferral';
    await d.back();
    expect((await d.store.ops())[0]?.route).toBe('putReferral');
    const after = makeDevice(d.store);
    await after.device.call('me', {});
    await after.device.outbox.rest();
    expect(await d.store.ops()).toEqual([]);
    const counted =
      await t.admin`select (select count(*)::int from referrals where id = ${referralId}) as cases,
      (select count(*)::int from measurements where referral_id = ${referralId}) as measured,
      (select count(*)::int from events where referral_id = ${referralId} and kind = 'referral.opened') as opened`;
    expect(counted).toMatchObject([{ cases: 1, measured: 3, opened: 1 }]);
    // The line is gone again before anything was read: what was sent stays in sight.
    after.line.there = false;
    const view = await after.device.call('getCase', { params: { practiceId, referralId } });
    expect(view).toMatchObject({ referral: { question: 'Is it the heart?' }, measurements: [{}, {}, {}] });
    expect((view as { referral: { number: number } }).referral.number).toBeGreaterThan(0);
  });

  it('is found again by name among the patients, and in the list of cases, which says how old it is', async () => {
    const d = makeDevice();
    const me = (await d.device.call('me', {})) as Me;
    expect(me.organisations.length).toBe(2);
    const practiceId = world.practiceB;
    const list = { params: { practiceId } };
    await d.device.call('listReferrals', list);
    d.line.there = false;
    const [patientId, referralId, scanId] = [uuidv7(), uuidv7(), uuidv7()] as [string, string, string];
    await d.device.call('putPatient', { params: { practiceId, patientId }, body: PATIENT });
    await d.device.call('putReferral', {
      params: { practiceId, referralId },
      body: { patientId, groupId: null, plan: 'collapse', scanId, scannedOn: '2026-11-25' },
    });
    const rows = await d.device.call('listReferrals', list);
    expect(rows).toMatchObject([{ id: referralId, patientName: 'Bracken', state: 'draft' }]);
    expect(d.device.asOf('listReferrals', list.params)).toBe('2026-11-25T09:30:00.000Z');
    expect(await d.device.call('listPatients', { ...list, query: { find: 'brack' } })).toMatchObject([
      { id: patientId },
    ]);
    // What was never asked and cannot be made up is not shown as empty.
    await expect(d.device.call('listPatients', { ...list, query: { find: 'nobody' } })).rejects.toThrow();
    await expect(d.device.call('listReferrals', { params: { practiceId: world.practiceA } })).rejects.toThrow(
      'No connection',
    );
  });

  it('keeps what the server refuses, with its sentence, and shows no refused number', async () => {
    const d = makeDevice();
    await d.device.call('me', {});
    d.line.there = false;
    const { practiceId, referralId } = await makeCase(d);
    const measurementId = uuidv7();
    await d.device.call('putMeasurement', {
      params: { practiceId, referralId, measurementId },
      body: measurement('lvidd', 4000),
    });
    const shown = async () =>
      (
        (await d.device.call('getCase', { params: { practiceId, referralId } })) as {
          measurements: { id: string }[];
        }
      ).measurements.some((m) => m.id === measurementId);
    expect(await shown()).toBe(true);
    await d.back();
    expect(await d.store.ops()).toMatchObject([
      { route: 'putMeasurement', state: 'refused', code: 'FIELD_INVALID', about: 'Bracken' },
    ]);
    expect((await d.store.ops())[0]?.says).toMatch(/4000 mm is not possible/);
    expect(await shown()).toBe(false);
  });

  it('shows nothing of one person to the next who signs in here, and keeps what was not sent', async () => {
    const d = makeDevice();
    const me = (await d.device.call('me', {})) as Me;
    d.line.there = false;
    const { practiceId, referralId } = await makeCase(d);
    const waiting = (await d.store.ops()).length;
    d.line.there = true;
    const before = session;
    try {
      session = await signIn(t.app, world.people.vetA.email);
      const other = makeDevice(d.store);
      await other.device.call('me', {});
      await other.device.outbox.rest();
      expect(await d.store.replies(`${me.member.id}|`)).toEqual([]);
      expect(await d.store.ops()).toHaveLength(waiting);
      await expect(other.device.call('getCase', { params: { practiceId, referralId } })).rejects.toThrow();
      other.line.there = false;
      await expect(other.device.call('getCase', { params: { practiceId, referralId } })).rejects.toThrow();
    } finally {
      session = before;
    }
    const again = makeDevice(d.store);
    await again.device.call('me', {});
    await again.device.outbox.rest();
    expect(await d.store.ops()).toEqual([]);
    expect(await again.device.call('getCase', { params: { practiceId, referralId } })).toMatchObject({
      patient: { name: 'Bracken' },
    });
  });
});

describe('the copy of the state that nobody asked yet', () => {
  it('is the contract’s', () => {
    expect(NOT_ASKED).toEqual(EMPTY_STATE_AT_SCAN);
  });
});
