import type { Learning, Sender } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sentCase } from '../support/sent-case';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import { makeWorld, type Person, type Session, signIn, type World } from '../support/world';

/** What readers made of a person's scans: nothing before twenty answered cases, and nobody else's to see. */
let t: TestApp;
let world: World;
const sessions = new Map<Person, Session>();

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  for (const person of [
    'vetA',
    'managerA',
    'sonographer',
    'cardiologist',
    'lead',
    'otherCardiologist',
  ] as const)
    sessions.set(person, await signIn(t.app, world.people[person].email));
});
afterAll(async () => t.close());

const as = (person: Person) => sessions.get(person) as Session;
async function must<T>(reply: Promise<{ status: number; raw: string; body: T }>): Promise<T> {
  const { status, raw, body } = await reply;
  expect(status, raw).toBe(200);
  return body;
}
const own = (person: Person) => must<Learning>(as(person).get('/api/me/learning'));
const ofSender = (person: Person, viewer: Person = 'lead') =>
  as(viewer).get(`/api/groups/${world.group}/senders/${world.people[person].id}/learning`);

/** An answered case with one judged clip and the reader's own value beside the sender's 38.2 mm. */
async function answered(
  judged: 'adequate' | 'doubtful' | null,
  readerMm: number,
  day: string,
): Promise<void> {
  const d = await sentCase(t, as('vetA'), world, world.practiceA);
  await t.admin`update clips set view = 'rps-short-papillary' where id = ${d.clipId}`;
  const at = `/api/cases/${d.practiceId}/${d.referralId}`;
  const [row] = await t.admin<
    { revision: number }[]
  >`select revision from referrals where id = ${d.referralId}`;
  await must(as('cardiologist').post(`${at}/take`, { base: row?.revision }));
  if (judged)
    for (const say of ['doubtful', judged] as const) {
      // The newest judgement stands: the clock of the tests does not go by itself.
      t.clock.set(new Date(t.clock.now().getTime() + 1000));
      await must(
        as('cardiologist').put(`${at}/clips/${d.clipId}/statements/${uuidv7()}`, {
          kind: 'judgement',
          view: 'rps-short-papillary',
          judged: say,
          axis: null,
          why: say === 'doubtful' ? 'The cut is tilted.' : '',
        }),
      );
    }
  await must(
    as('cardiologist').put(`${at}/measurements/${uuidv7()}`, {
      code: 'lvidd',
      value: readerMm,
      unit: 'mm',
      asTyped: `${readerMm} mm`,
      view: 'rps-short-papillary',
      method: '2d',
      beat: 1,
      clipId: null,
      frame: null,
      source: 'typed',
      geometry: null,
      supersedesId: null,
    }),
  );
  await t.admin`update scans set scanned_on = ${day} where id = ${d.scanId}`;
  await t.admin`update referrals set state = 'answered' where id = ${d.referralId}`;
}

describe('learning', () => {
  it('gives a number and nothing else until twenty cases are answered', async () => {
    for (let n = 0; n < 19; n += 1)
      await answered(
        n < 10 ? 'adequate' : n < 14 ? 'doubtful' : null,
        n < 3 ? 20 : 38,
        n < 10 ? '2026-02-10' : '2026-11-10',
      );
    // One that is not answered does not count.
    await sentCase(t, as('vetA'), world, world.practiceA);
    const empty = { answeredCases: 19, from: 20, views: [], measured: [] };
    expect(await own('vetA')).toEqual(empty);
    expect((await ofSender('vetA')).body).toEqual(empty);
  });

  it('then shows views by quarter and differences against repeatability, to the person and to the lead alike', async () => {
    await answered('adequate', 38, '2026-11-11');
    const mine = await own('vetA');
    expect(mine.answeredCases).toBe(20);
    expect(mine.views).toEqual([
      {
        view: 'rps-short-papillary',
        adequate: 11,
        doubtful: 4,
        notPossible: 0,
        notJudged: 5,
        quarters: [
          { quarter: '2026-Q1', adequate: 10, doubtful: 0, notPossible: 0, notJudged: 0 },
          { quarter: '2026-Q4', adequate: 1, doubtful: 4, notPossible: 0, notJudged: 5 },
        ],
      },
    ]);
    // 38.2 against 20 is 62.5 % of the mean: more than 2.77 × 8.8 %. Against 38 it is half a per cent.
    expect(mine.measured).toEqual([
      {
        code: 'lvidd',
        pairs: 20,
        beyondError: 3,
        comparable: 20,
        meanDifferencePercent: expect.closeTo((3 * 62.543 + 17 * 0.525) / 20, 2),
      },
    ]);
    expect((await ofSender('vetA')).body).toEqual(mine);
    const senders = await must<Sender[]>(as('lead').get(`/api/groups/${world.group}/senders`));
    expect(senders).toEqual([{ memberId: world.people.vetA.id, name: 'Vet of Ash', answeredCases: 20 }]);
  });

  it('shows nobody else’s, not to the manager, not to another reader, not to another group', async () => {
    for (const person of ['managerA', 'sonographer', 'cardiologist', 'lead', 'otherCardiologist'] as const)
      expect(await own(person), person).toEqual({ answeredCases: 0, from: 20, views: [], measured: [] });
    expect((await ofSender('vetA', 'cardiologist')).status).toBe(403);
    for (const person of ['vetA', 'managerA', 'otherCardiologist'] as const)
      expect((await ofSender('vetA', person)).status, person).toBe(404);
    expect((await ofSender('vetB')).status).toBe(404);
    const elsewhere = await as('lead').get(`/api/groups/${world.otherGroup}/senders`);
    expect(elsewhere.status).toBe(404);
  });

  it('stays a person’s own where they enter more scans for a visitor than for themselves', async () => {
    const before = await own('vetA');
    for (let n = 0; n < 3; n += 1) {
      const d = await sentCase(t, as('vetA'), world, world.practiceA);
      await t.admin`update referrals set state = 'answered' where id = ${d.referralId}`;
      await t.admin`update scans set operator = 'A visitor' where id = ${d.scanId}`;
    }
    expect(await own('vetA')).toEqual(before);
    expect((await ofSender('vetA')).body).toEqual(before);
  });

  it('leaves out scans under whose name somebody else stands', async () => {
    await t.admin`update scans set operator = 'A nurse' where id in (select id from scans where created_by = ${world.people.vetA.id} and scanned_on = '2026-11-11')`;
    expect(await own('vetA')).toEqual({ answeredCases: 19, from: 20, views: [], measured: [] });
  });
});
