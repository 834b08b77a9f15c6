import type { PracticePage } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import { makeWorld, type Session, signIn, type World } from '../support/world';

/** A practice's papers and people, and who may touch them. */
let t: TestApp;
let world: World;
let manager: Session;
let vet: Session;
let at: string;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  manager = await signIn(t.app, world.people.managerA.email);
  vet = await signIn(t.app, world.people.vetA.email);
  at = `/api/practices/${world.practiceA}`;
});
afterAll(async () => t.close());

const page = async (who = vet): Promise<PracticePage> => {
  const reply = await who.get(`${at}/particulars`);
  expect(reply.status, reply.raw).toBe(200);
  return reply.body;
};
const message = (reply: { body: never }) => (reply.body as { message: string }).message;

describe('a practice', () => {
  it('shows its people with their roles and what is agreed with readers, its own and no other’s', async () => {
    const { people, agreements, particulars } = await page();
    expect(people.map((p) => [p.name, p.roles])).toEqual([
      ['Manager of Ash', ['manager']],
      ['Sonographer of both', ['sonographer']],
      ['Vet of Ash', ['referring-vet']],
    ]);
    expect(agreements.map((a) => [a.groupName, a.emergencyContact])).toEqual([
      ['Test Readers', 'Test night clinic, +353 1 000 0003'],
    ]);
    expect(particulars).toMatchObject({ zone: 'Europe/Dublin', letterhead: { lines: [], footer: '' } });
    for (const person of ['vetB', 'cardiologist', 'lead'] as const)
      expect((await (await signIn(t.app, world.people[person].email)).get(`${at}/particulars`)).status).toBe(
        404,
      );
  });

  it('takes a letterhead from its manager, and does not overwrite what was not seen', async () => {
    const seen = (await page()).particulars;
    const letterhead = { lines: ['1 Test Lane', 'Ashtown'], footer: 'Registered in Test.' };
    expect((await vet.put(`${at}/particulars`, { seen, wanted: { ...seen, letterhead } })).status).toBe(403);
    expect((await manager.put(`${at}/particulars`, { seen, wanted: { ...seen, letterhead } })).status).toBe(
      200,
    );
    expect((await page()).particulars.letterhead).toEqual(letterhead);
    const stored = await t.admin`select letterhead from practices where id = ${world.practiceA}`;
    expect(stored[0]?.['letterhead']).toEqual({ schema: 1, ...letterhead });
    // Another field on an older page goes through, the letterhead of meanwhile stays; the same field does not.
    expect(
      (await manager.put(`${at}/particulars`, { seen, wanted: { ...seen, phone: '+353 1 000 0099' } }))
        .status,
    ).toBe(200);
    expect((await page()).particulars).toMatchObject({ letterhead, phone: '+353 1 000 0099' });
    expect(
      (
        await manager.put(`${at}/particulars`, {
          seen,
          wanted: { ...seen, letterhead: { lines: [], footer: 'x' } },
        })
      ).status,
    ).toBe(412);
    const bad = await manager.put(`${at}/particulars`, {
      seen: (await page()).particulars,
      wanted: { ...(await page()).particulars, zone: 'Moon/Sea' },
    });
    expect([bad.status, message(bad)]).toEqual([
      400,
      expect.stringMatching(/^zone: this time zone is not known/),
    ]);
    const long = await manager.put(`${at}/particulars`, {
      seen,
      wanted: { ...seen, letterhead: { lines: Array(7).fill('x'), footer: '' } },
    });
    expect(message(long)).toMatch(/six lines at most/);
  });

  it('keeps its last manager, and closes to whose membership is ended at once', async () => {
    const end = (who: Session, memberId: string) => who.post(`${at}/people/${memberId}/end`, {});
    expect(message(await end(manager, world.people.managerA.id))).toMatch(/only manager/);
    expect((await end(vet, world.people.managerA.id)).status).toBe(403);
    expect((await end(manager, world.people.vetB.id)).status).toBe(404);
    expect((await end(manager, uuidv7())).status).toBe(404);
    const sonographer = await signIn(t.app, world.people.sonographer.email);
    expect((await sonographer.get(`${at}/patients`)).status).toBe(200);
    const done = await end(manager, world.people.sonographer.id);
    expect([done.status, done.body]).toEqual([200, { ended: 1 }]);
    expect((await sonographer.get(`${at}/patients`)).status).toBe(404);
    // The other practice stays open.
    expect((await sonographer.get(`/api/practices/${world.practiceB}/patients`)).status).toBe(200);
    expect((await page()).people.map((p) => p.name)).toEqual(['Manager of Ash', 'Vet of Ash']);
    const told =
      await t.admin`select p.data from events e join event_payloads p on p.event_id = e.id where e.kind = 'membership.ended'`;
    expect(told.map((e) => (e['data'] as { name: string }).name)).toEqual(['Sonographer of both']);
  });
});
