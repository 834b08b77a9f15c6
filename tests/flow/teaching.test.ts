import type { ShelfClip, TeachingState } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { KEEPER, type SentCase, sentCase } from '../support/sent-case';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import { makeWorld, type Person, type Session, signIn, type World } from '../support/world';

/** Clips on the teaching shelf: only with consent, without a name, and gone when consent goes. */
let t: TestApp;
let world: World;
const sessions = new Map<Person, Session>();
const PEOPLE = ['vetA', 'vetB', 'managerA', 'cardiologist', 'lead', 'otherCardiologist'] as const;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  for (const person of PEOPLE) sessions.set(person, await signIn(t.app, world.people[person].email));
});
afterAll(async () => t.close());

const as = (person: Person) => sessions.get(person) as Session;
async function must<T>(reply: Promise<{ status: number; raw: string; body: T }>): Promise<T> {
  const { status, raw, body } = await reply;
  expect(status, raw).toBe(200);
  return body;
}
async function answeredCase(): Promise<SentCase> {
  const d = await sentCase(t, as('vetA'), world, world.practiceA);
  await t.admin`update referrals set state = 'answered' where id = ${d.referralId}`;
  return d;
}
const consent = (d: SentCase, given: boolean) =>
  as('vetA').put(`/api/practices/${d.practiceId}/referrals/${d.referralId}/teaching-consent`, { given });
const entry = (d: SentCase, part: Record<string, unknown> = {}) => ({
  practiceId: d.practiceId,
  referralId: d.referralId,
  clipId: d.clipId,
  view: 'rps-long-4ch',
  kind: 'changed',
  title: 'A large left atrium',
  words: 'Compare it with the aorta.',
  nothingNamed: true,
  ...part,
});
const put = (d: SentCase, id = uuidv7(), part = {}, who: Person = 'cardiologist', group = world.group) =>
  as(who).put(`/api/groups/${group}/shelf/${id}`, entry(d, part));
const shelf = (who: Person) => must<ShelfClip[]>(as(who).get('/api/shelf?view=rps-long-4ch'));
const pack = (id: string, who: Person) => as(who).get(`/api/shelf/${world.group}/${id}/pack`);
const message = (reply: { body: never }) => (reply.body as { message: string }).message;

describe('the teaching shelf', () => {
  it('takes a clip only of an answered case with consent, from a reader who has looked', async () => {
    const open = await sentCase(t, as('vetA'), world, world.practiceA);
    expect(message(await consent(open, true))).toMatch(/once it is answered/);
    const d = await answeredCase();
    const without = await put(d);
    expect([without.status, message(without)]).toEqual([409, expect.stringMatching(/not given its consent/)]);
    await must(consent(d, true));
    const unlooked = await put(d, uuidv7(), { nothingNamed: false });
    expect([unlooked.status, message(unlooked)]).toEqual([400, expect.stringMatching(/look at the picture/)]);
    expect((await put(d, uuidv7(), {}, 'vetA')).status).toBe(404);
    expect((await put(d, uuidv7(), {}, 'otherCardiologist', world.otherGroup)).status).toBe(404);
    expect((await put(d, uuidv7(), { clipId: open.clipId })).status).toBe(404);
    const id = uuidv7();
    await must(put(d, id));
    // A repeated request makes no second copy.
    await must(put(d, id));
    expect((await shelf('cardiologist')).map((c) => c.id)).toEqual([id]);
  });

  it('shows partners species, age and weight, and nothing that names patient, keeper, practice or day', async () => {
    for (const who of ['vetA', 'vetB', 'managerA', 'cardiologist', 'lead'] as const) {
      const [clip] = await shelf(who);
      expect(clip).toEqual({
        groupId: world.group,
        id: expect.any(String),
        view: 'rps-long-4ch',
        kind: 'changed',
        title: 'A large left atrium',
        words: 'Compare it with the aorta.',
        species: 'dog',
        // 'mixed' is no breed of the list: free text stays away.
        breedText: '',
        weightKg: 7.4,
        ageMonths: 152,
        frameCount: 1,
        demo: false,
      });
      const got = await pack(clip?.id ?? '', who);
      expect([got.status, got.bytes.toString()]).toEqual([200, 'outgoing pack bytes']);
      expect(got.headers['cache-control']).toBe('private, no-cache');
    }
    expect(await shelf('otherCardiologist')).toEqual([]);
    const [clip] = await shelf('vetB');
    expect((await pack(clip?.id ?? '', 'otherCardiologist')).status).toBe(404);
    const stored = JSON.stringify(await t.admin`select * from teaching_clips`);
    for (const secret of ['Pebble', KEEPER, 'Ash', world.practiceA, 'unmistakable'])
      expect(stored).not.toContain(secret);
    // A key of its own: the case's pack is not what is served.
    const keys =
      await t.admin`select storage_key from packs union all select storage_key from teaching_clips`;
    expect(new Set(keys.map((k) => k['storage_key'] as string)).size).toBe(keys.length);
    // Where it came from is read by the group and by the practice it came from, by nobody else.
    const seenBy = async (practice: string) =>
      t.services.db.withJob(practice, 'test', async (tx) => {
        const { sql } = await import('drizzle-orm');
        return (await tx.execute(sql`select 1 from teaching_sources`)).length;
      });
    expect([await seenBy(world.practiceA), await seenBy(world.practiceB)]).toEqual([1, 0]);
  });

  it('loses a clip at once when consent is taken back, even where the agreement has ended', async () => {
    const [clip] = await shelf('vetB');
    const d = (await t.admin`select referral_id, practice_id from teaching_sources`)[0] as {
      referral_id: string;
      practice_id: string;
    };
    const taken = { practiceId: d.practice_id, referralId: d.referral_id } as SentCase;
    await t.admin`update agreements set ended_at = now() where practice_id = ${world.practiceA}`;
    expect(await shelf('vetA')).toEqual([]);
    const state = await must<TeachingState>(consent(taken, false));
    expect(state).toEqual({ consent: null, onShelf: [] });
    for (const who of ['cardiologist', 'vetB'] as const) {
      expect(await shelf(who)).toEqual([]);
      expect((await pack(clip?.id ?? '', who)).status).toBe(404);
    }
    await t.admin`update agreements set ended_at = null where practice_id = ${world.practiceA}`;
    // Given again, nothing comes back by itself.
    await must(consent(taken, true));
    expect(await shelf('cardiologist')).toEqual([]);
  });

  it('loses a clip whose mask was decided anew, and one that a reader takes off', async () => {
    const d = await answeredCase();
    await must(consent(d, true));
    const [first, second] = [uuidv7(), uuidv7()] as [string, string];
    await must(put(d, first));
    await t.admin`update packs set superseded_at = now() where clip_id = ${d.clipId} and kind = 'outgoing'`;
    expect((await pack(first, 'lead')).status).toBe(404);
    const gone = await put(d, second);
    expect([gone.status, message(gone)]).toEqual([409, expect.stringMatching(/no masked copy/)]);
    const other = await answeredCase();
    await must(consent(other, true));
    await must(put(other, second));
    expect((await as('vetA').post(`/api/groups/${world.group}/shelf/${second}/take-off`, {})).status).toBe(
      404,
    );
    await must(as('lead').post(`/api/groups/${world.group}/shelf/${second}/take-off`, {}));
    expect((await pack(second, 'lead')).status).toBe(404);
    expect(await shelf('lead')).toEqual([]);
  });

  it('lets no partner write on the shelf', async () => {
    const d = await answeredCase();
    await must(consent(d, true));
    const id = uuidv7();
    await must(put(d, id));
    const changed = await t.services.db.withJob(world.practiceA, 'test', async (tx) => {
      const { sql } = await import('drizzle-orm');
      return (await tx.execute(sql`update teaching_clips set title = 'x' where id = ${id} returning id`))
        .length;
    });
    expect(changed).toBe(0);
    expect((await shelf('lead')).map((c) => c.title)).toEqual(['A large left atrium']);
  });
});
