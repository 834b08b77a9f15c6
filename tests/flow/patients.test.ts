import type { CaseView, EarlierScan, PatientList, PatientPage, RecheckRow } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { jobTable } from '../../apps/api/src/worker';
import { sentCase } from '../support/sent-case';
import { startTestApp, type TestApp, uuidv7, workOff } from '../support/test-app';
import {
  caseOf,
  makeWorld,
  openDraft,
  type Session,
  signIn,
  typeMeasurement,
  type World,
} from '../support/world';

/** Patients of a practice: the list, the page, and two that turn out to be one. */
let t: TestApp;
let world: World;
let vet: Session;
let manager: Session;
let reader: Session;
let practice: string;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  manager = await signIn(t.app, world.people.managerA.email);
  reader = await signIn(t.app, world.people.cardiologist.email);
  practice = `/api/practices/${world.practiceA}`;
});
afterAll(async () => t.close());

interface Made {
  name: string;
  species?: string;
  chip?: string | null;
  birthDate?: string | null;
  keeper?: { name: string; phone: string };
  weights?: readonly (readonly [kg: number, on: string])[];
}
async function patient(made: Made): Promise<string> {
  const id = uuidv7();
  await must(
    vet.put(`${practice}/patients/${id}`, {
      name: made.name,
      species: made.species ?? 'dog',
      breedCode: null,
      breedText: 'mixed',
      sex: 'female',
      neutered: true,
      birthDate: made.birthDate ?? null,
      birthPrecision: made.birthDate ? 'day' : null,
      chip: made.chip ?? null,
    }),
  );
  if (made.keeper) await must(vet.put(`${practice}/patients/${id}/keeper`, { ...made.keeper, email: '' }));
  for (const [weightKg, weighedOn] of made.weights ?? [])
    await must(
      vet.put(`${practice}/patients/${id}/weights/${uuidv7()}`, {
        weightKg,
        weighedOn,
        asTyped: `${weightKg} kg`,
        guessed: false,
      }),
    );
  return id;
}
async function must<T>(reply: Promise<{ status: number; raw: string; body: T }>): Promise<T> {
  const { status, raw, body } = await reply;
  expect(status, raw).toBe(200);
  return body;
}
const list = async (find: string, who = vet): Promise<PatientList['rows']> =>
  (await must<PatientList>(who.get(`${practice}/patient-rows?find=${encodeURIComponent(find)}`))).rows;
const names = async (find: string) => (await list(find)).map((r) => r.name);
const page = (id: string, who = vet) => must<PatientPage>(who.get(`${practice}/patients/${id}/page`));
const merge = (fromId: string, intoId: string, mergeId = uuidv7()) =>
  vet.put(`${practice}/patient-merges/${mergeId}`, {
    fromId,
    intoId,
    reason: 'Registered twice at the desk.',
  });
const undo = (mergeId: string) => vet.post(`${practice}/patient-merges/${mergeId}/undo`, {});
const said = (reply: { body: never }) => (reply.body as { message: string }).message;

describe('the list', () => {
  it('finds by name, number, chip, keeper and telephone, however they are written', async () => {
    const id = await patient({
      name: 'Zoë Tern',
      chip: '276 098 100 123 456',
      keeper: { name: 'Órla Quillfeather', phone: '+353 87 555 01 23' },
    });
    const own = (await page(id)).patient.number;
    for (const find of [
      'zoe',
      'TERN',
      'tern zoë',
      String(own),
      '276098100123456',
      '276098',
      'orla',
      'quill zoe',
      '087 555 0123',
      '5550123',
    ])
      expect(await names(find), find).toContain('Zoë Tern');
    for (const find of ['zoa', 'zoe tarn', '276098200', '5550124', '%', '_'])
      expect(await names(find), find).not.toContain('Zoë Tern');
  });

  it('shows the newest weight, the scans, and the keeper to the practice alone', async () => {
    const d = await openDraft(vet, world, world.practiceA, {
      name: 'Linnet',
      weightKg: 5.5,
      scannedOn: '2026-11-20',
    });
    await must(
      vet.put(`${practice}/patients/${d.patientId}/keeper`, {
        name: 'Ida Marsh',
        phone: '+353 1 222 3334',
        email: '',
      }),
    );
    const row = (await list('linnet'))[0];
    expect(row).toMatchObject({
      weightKg: 5.5,
      weightGuessed: false,
      lastScanOn: '2026-11-20',
      scans: 1,
      keeperName: 'Ida Marsh',
      mergedFrom: [],
    });
    expect((await list('linnet', manager))[0]?.keeperName).toBe('Ida Marsh');
    const other = await signIn(t.app, world.people.vetB.email);
    for (const who of [reader, other])
      for (const url of ['patient-rows?find=linnet', `patients/${d.patientId}/page`, 'likely-pairs'])
        expect((await who.get(`${practice}/${url}`)).status).toBe(404);
  });

  it('gives the older search its weights in one reading, newest first', async () => {
    const id = await patient({
      name: 'Dunnock',
      weights: [
        [4, '2025-01-02'],
        [5, '2026-03-04'],
      ],
    });
    const found = await must<{ id: string; weights: { weightKg: number }[] }[]>(
      vet.get(`${practice}/patients?find=dunnock`),
    );
    expect(found.map((p) => [p.id, p.weights.map((w) => w.weightKg)])).toEqual([[id, [5, 4]]]);
  });
});

describe('patients that may be one', () => {
  it('are named with why, and never across species or against a chip', async () => {
    const keeper = { name: 'Ned Holm', phone: '+353 87 999 88 77' };
    const one = await patient({ name: 'Curlew', keeper });
    const same = await patient({ name: 'curlew', keeper: { name: 'N. Holm', phone: '087 999 8877' } });
    await patient({ name: 'Curlew', species: 'cat', keeper });
    await patient({ name: 'Curlew', chip: '1', birthDate: '2019-05-05' });
    await patient({ name: 'Curlew', chip: '2', birthDate: '2019-05-06' });
    const { likely } = await page(one);
    expect(likely.map((p) => [p.one.id, p.other.id, p.because])).toEqual([[one, same, ['keeper-phone']]]);
  });
});

describe('merging', () => {
  it('shows weights, scans and history of both, keeps the rows as they are, and undo puts all back', async () => {
    const first = await openDraft(vet, world, world.practiceA, {
      name: 'Plover',
      weightKg: 8,
      scannedOn: '2026-10-01',
    });
    const second = await openDraft(vet, world, world.practiceA, {
      name: 'Plover B',
      weightKg: 9,
      scannedOn: '2026-11-24',
    });
    const oldNumber = (await page(first.patientId)).patient.number;
    const mergeId = uuidv7();
    const rowsBefore = await t.admin`select id, patient_id from scans order by id`;
    await must(merge(first.patientId, second.patientId, mergeId));
    await must(merge(first.patientId, second.patientId, mergeId));
    expect(await t.admin`select id, patient_id from scans order by id`).toEqual(rowsBefore);

    const merged = await page(first.patientId);
    expect(merged.patient.id).toBe(second.patientId);
    expect(merged.askedFor).toMatchObject({ id: first.patientId, number: oldNumber, name: 'Plover' });
    expect(merged.patient.weights.map((w) => w.weightKg).sort((a, b) => a - b)).toEqual([8, 9]);
    expect(merged.timeline.filter((e) => e.kind === 'scan').map((e) => [e.day, e.underNumber])).toEqual([
      ['2026-11-24', null],
      ['2026-10-01', oldNumber],
    ]);
    expect(merged.merges.map((m) => [m.mergeId, m.from.name, m.by])).toEqual([
      [mergeId, 'Plover', 'Vet of Ash'],
    ]);
    // The list has one of them, found by the old name and number as well.
    for (const find of ['Plover', String(oldNumber)])
      expect(
        (await list(find))
          .filter((r) => r.name.startsWith('Plover'))
          .map((r) => [r.id, r.scans, r.mergedFrom.map((m) => m.number)]),
      ).toEqual([[second.patientId, 2, [oldNumber]]]);
    // The draft of the one that was put away is open still, about the one that stands.
    expect((await caseOf(vet, first)).patient).toMatchObject({ id: second.patientId, name: 'Plover B' });

    await must(undo(mergeId));
    expect((await page(first.patientId)).patient.weights.map((w) => w.weightKg)).toEqual([8]);
    expect((await page(second.patientId)).timeline.filter((e) => e.kind === 'scan')).toHaveLength(1);
    expect((await list('plover')).map((r) => r.name).sort()).toEqual(['Plover', 'Plover B']);
    expect((await caseOf(vet, first)).patient.name).toBe('Plover');
    expect(said(await undo(mergeId))).toMatch(/undone already/);
    const told = await t.admin<{ kind: string; group_id: string | null }[]>`
      select kind, group_id from events where practice_id = ${world.practiceA} and kind like 'patient.merge%' order by seq`;
    expect(told.map((e) => [e.kind, e.group_id])).toEqual([
      ['patient.merged', null],
      ['patient.merge-undone', null],
    ]);
  });

  it('is refused in words where it cannot be right', async () => {
    const dog = await patient({ name: 'Rail' });
    const cat = await patient({ name: 'Rail', species: 'cat' });
    const third = await patient({ name: 'Rail' });
    const fourth = await patient({ name: 'Rail' });
    expect(said(await merge(dog, cat))).toMatch(/One is a dog and the other a cat/);
    expect(said(await merge(dog, dog))).toMatch(/one patient already/);
    const firstId = uuidv7();
    await must(merge(dog, third, firstId));
    expect(said(await merge(dog, fourth))).toMatch(/was merged before/);
    // Round in a circle: the one that was put away stands for nobody.
    expect(said(await merge(third, dog))).toMatch(/was merged before/);
    // A chain is followed to its end, and undone from there.
    await must(merge(third, fourth));
    expect((await page(dog)).patient.id).toBe(fourth);
    expect(said(await undo(firstId))).toMatch(/Undo that merge first/);
    expect((await merge(uuidv7(), fourth)).status).toBe(404);
    const reply = await vet.patch(`${practice}/patients/${dog}`, { base: 1, fields: { name: 'Crake' } });
    expect(reply.status).toBe(409);
    expect(said(reply)).toMatch(/was merged into Rail, number/);
    expect(
      (await manager.put(`${practice}/patient-merges/${uuidv7()}`, { fromId: dog, intoId: cat, reason: 'x' }))
        .status,
    ).toBe(403);
  });

  it('lets one of two people win who merge the same pair the other way round at once', async () => {
    const [a, b] = [await patient({ name: 'Dipper' }), await patient({ name: 'Dipper' })];
    const replies = await Promise.all([merge(a, b), merge(b, a)]);
    expect(replies.map((r) => r.status).sort((x, y) => x - y)).toEqual([200, 409]);
    const away = await t.admin`select id from patients where name = 'Dipper' and merged_into_id is not null`;
    expect(away).toHaveLength(1);
  });

  it('takes a patient with its readers only as the one that stands, and gives them the earlier scans of the other', async () => {
    const earlier = await sentCase(t, vet, world, world.practiceA);
    await t.admin`update referrals set state = 'answered' where id = ${earlier.referralId}`;
    const open = await sentCase(t, vet, world, world.practiceA);
    await workOff(t, jobTable(t.worker) as never);
    const before = await must<EarlierScan[]>(
      reader.get(`/api/cases/${world.practiceA}/${open.referralId}/earlier`),
    );
    expect(before).toEqual([]);
    expect(said(await merge(open.patientId, earlier.patientId))).toMatch(/is with its readers in referral/);
    await must(merge(earlier.patientId, open.patientId));
    for (const who of [vet, reader]) {
      const after = await must<EarlierScan[]>(
        who.get(`/api/cases/${world.practiceA}/${open.referralId}/earlier`),
      );
      expect(after.map((s) => s.referralId)).toEqual([earlier.referralId]);
    }
    // Answered before: the readers find it as it was.
    const answered = await must<CaseView>(reader.get(`/api/cases/${world.practiceA}/${earlier.referralId}`));
    expect(answered.patient.id).toBe(earlier.patientId);
    // What a group may ask of the database about a patient that it was never sent: nothing.
    const stranger = await patient({ name: 'Stranger' });
    const seen = await t.services.db.withJob(world.practiceB, 'test', async (tx) => {
      const { sql } = await import('drizzle-orm');
      return tx.execute(
        sql`select patient_root(${world.practiceA}, ${stranger}) as root, patient_family(${world.practiceA}, ${stranger}) as family`,
      );
    });
    expect(seen[0]).toEqual({ root: null, family: [] });
  });

  it('counts a weight of the one that was put away for the open case of the other', async () => {
    const open = await openDraft(vet, world, world.practiceA, {
      name: 'Siskin',
      weightKg: 0,
      scannedOn: '2026-11-25',
    });
    await typeMeasurement(vet, open, 'lvidd', 30);
    const twin = await patient({ name: 'Siskin', weights: [[6.5, '2026-11-20']] });
    expect((await caseOf(vet, open)).patient.weight).toBeNull();
    await must(merge(twin, open.patientId));
    expect((await caseOf(vet, open)).patient.weight?.weightKg).toBe(6.5);
  });

  it('names a recheck once, by the newest opinion of both, and knows a scan under either id', async () => {
    const first = await sentCase(t, vet, world, world.practiceA);
    const second = await sentCase(t, vet, world, world.practiceA);
    for (const [d, signedAt, recheckOn] of [
      [first, '2026-05-01T10:00:00Z', '2026-08-01'],
      [second, '2026-06-01T10:00:00Z', '2026-12-01'],
    ] as const) {
      await t.admin`update referrals set state = 'answered' where id = ${d.referralId}`;
      await t.admin`update scans set scanned_on = ${signedAt.slice(0, 10)} where id = ${d.scanId}`;
      await t.admin`insert into signed_opinions (practice_id, id, group_id, referral_id, kind, fields, canonical_text, sha256, signer_id, signer_name, signed_at, engine_version, inputs)
        values (${world.practiceA}, ${uuidv7()}, ${world.group}, ${d.referralId}, 'opinion', ${JSON.stringify({ recheckOn, recheckFor: 'the atrium', conclusion: 'Enlarged.' })}::text::jsonb, 'x', 'x', ${world.people.cardiologist.id}, 'First cardiologist', ${signedAt}, 'x', '{}')`;
    }
    const due = async () =>
      (await must<RecheckRow[]>(vet.get(`${practice}/rechecks`))).map((r) => [
        r.patientId,
        r.dueOn,
        r.scannedSince,
      ]);
    expect(await due()).toEqual([
      [first.patientId, '2026-08-01', null],
      [second.patientId, '2026-12-01', null],
    ]);
    await must(merge(first.patientId, second.patientId));
    expect(await due()).toEqual([[second.patientId, '2026-12-01', null]]);
    const history = (await page(second.patientId)).timeline.filter(
      (e) => e.kind === 'recheck' || e.kind === 'opinion',
    );
    expect(history.map((e) => [e.kind, e.day, e.words])).toEqual([
      ['recheck', '2026-12-01', 'the atrium'],
      ['recheck', '2026-08-01', 'the atrium'],
      ['opinion', '2026-06-01', 'Enlarged.'],
      ['opinion', '2026-05-01', 'Enlarged.'],
    ]);
    await t.admin`insert into signed_reports (practice_id, id, referral_id, kind, fields, canonical_text, sha256, signer_id, signer_name, signed_at, inputs, engine_version)
      values (${world.practiceA}, ${uuidv7()}, ${first.referralId}, 'report', ${JSON.stringify({ recheckOn: '2026-07-01', recheckFor: 'the walls', conclusion: 'Thick.' })}::text::jsonb, 'x', 'x', ${world.people.vetA.id}, 'Vet of Ash', '2026-04-30T23:30:00Z', '{}', 'x')`;
    const reported = (await page(second.patientId)).timeline.filter(
      (e) => e.words === 'the walls' || e.kind === 'report',
    );
    // 23:30 UTC on 30 April is 1 May in Dublin.
    expect(reported.map((e) => [e.kind, e.day])).toEqual([
      ['recheck', '2026-07-01'],
      ['report', '2026-05-01'],
    ]);
    // A file scan that still comes in under the old id counts as one of the animal's.
    await openDraft(vet, world, world.practiceA, { patientId: first.patientId, scannedOn: '2026-11-25' });
    expect(await due()).toEqual([[second.patientId, '2026-12-01', '2026-11-25']]);
  });
});
