import { type CaseView, type RouteName, type RouteShape, routes } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type SentCase, sentCase } from '../support/sent-case';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import { makeWorld, openDraft, type Session, signIn, type World } from '../support/world';

/** Every route that takes a body, given what no page of ours sends: a 4xx with one sentence, never a 5xx, nothing stored. */
let t: TestApp;
let world: World;
let theCase: SentCase;
let vet: Session;
let cardiologist: Session;

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  cardiologist = await signIn(t.app, world.people.cardiologist.email);
  theCase = await sentCase(t, vet, world, world.practiceA);
  // Taken, so that the reader's own routes are reached and not refused for the state.
  const at = `/api/cases/${world.practiceA}/${theCase.referralId}`;
  const revision = ((await cardiologist.get(at)).body as CaseView).referral.revision;
  expect((await cardiologist.post(`${at}/take`, { base: revision })).status).toBe(200);
});
afterAll(async () => t.close());

const withBody = (Object.entries(routes) as [RouteName, RouteShape][]).filter(([, r]) => r.body);

function addressOf(route: RouteShape): string {
  const known: Record<string, string> = {
    practiceId: world.practiceA,
    groupId: world.group,
    referralId: theCase.referralId,
    patientId: theCase.patientId,
    scanId: theCase.scanId,
    clipId: theCase.clipId,
  };
  return route.path.replace(/:([a-zA-Z]+)/g, (_m, name: string) => known[name] ?? uuidv7());
}
const whoMay = (route: RouteShape): Session =>
  typeof route.access === 'object' && !route.access.practice ? cardiologist : vet;

const tables = [
  'patients',
  'weights',
  'referrals',
  'scans',
  'measurements',
  'observations',
  'arrivals',
  'interim_answers',
  'rescan_wishes',
  'signed_opinions',
  'flag_answers',
];
const counts = async () =>
  Object.fromEntries(
    await Promise.all(
      tables.map(
        async (name) =>
          [name, (await t.admin.unsafe(`select count(*)::int as n from ${name}`))[0]?.['n']] as const,
      ),
    ),
  );

describe('bodies that no page sends', () => {
  // An empty object is left out: it is right for some routes.
  const shapes: [string, string][] = [
    ['a list', '[]'],
    ['a number', '42'],
    ['a text', '"x"'],
    ['null', 'null'],
    ['half a JSON text', '{"base": 1,'],
    ['nothing at all', ''],
    [
      'a list in each field',
      JSON.stringify({ base: [], fields: [], name: [], reason: [], text: [], email: [], password: [] }),
    ],
  ];

  it.each(withBody)('are refused with a sentence by %s', async (name, route) => {
    const before = await counts();
    for (const [what, payload] of shapes) {
      // Routes with an empty body take any object, and are not at fault for it.
      const empty = [
        'readBack',
        'releaseKeeperPage',
        'startSecondRead',
        'undoMerge',
        'endMembership',
        'takeShelfClipOff',
        'revokeMachineKey',
        'withdrawRequest',
        'takeLeftWork',
      ].includes(name);
      if (empty && what.startsWith('a list in')) continue;
      const reply = await whoMay(route).call(route.method, addressOf(route), payload, {
        'content-type': 'application/json',
      });
      expect(reply.status, `${name}, ${what}: ${reply.raw}`).toBe(400);
      const body = reply.body as { code: string; message: string; requestId: string };
      expect(['REQUEST_INVALID', 'FIELD_INVALID']).toContain(body.code);
      expect(body.message.length, `${name}, ${what}`).toBeGreaterThan(10);
      expect(body.message).not.toMatch(/\bat \w+ \(|node_modules|select |insert /i);
    }
    expect(await counts()).toEqual(before);
  });
});

describe('texts and numbers at the edge', () => {
  const edges: [string, unknown][] = [
    ['a NUL character', 'a\u0000b'],
    ['half a surrogate pair', 'a\ud83d'],
    ['a text direction mark', 'a\u202Eb'],
    ['a very long text', 'x'.repeat(100_000)],
    ['a text of blanks', '   '],
    ['SQL', "x'; drop table referrals; --"],
    ['an object', { toString: 'x' }],
    ['true', true],
  ];
  it.each(edges)('%s as a name or a reason never makes a 5xx', async (what, value) => {
    const d = await openDraft(vet, world, world.practiceA);
    const at = `/api/practices/${world.practiceA}`;
    const patient = {
      species: 'dog',
      breedCode: null,
      breedText: '',
      sex: 'female',
      neutered: null,
      birthDate: null,
      birthPrecision: null,
      chip: null,
    };
    const replies = [
      await vet.put(`${at}/patients/${uuidv7()}`, { ...patient, name: value }),
      await vet.put(`${at}/patients/${uuidv7()}`, { ...patient, name: 'n', breedText: value }),
      await vet.patch(d.base, { base: 1, fields: { question: value } }),
      await vet.get(
        `${at}/patients?find=${encodeURIComponent((typeof value === 'string' ? value : JSON.stringify(value)).slice(0, 119).replace(/\p{Cs}/gu, ''))}`,
      ),
      await vet.post(`${d.base}/withdraw`, { base: 1, reason: value }),
      await vet.post(`${d.base}/withdraw`, { base: 2, reason: value }),
      await cardiologist.patch(`/api/cases/${world.practiceA}/${theCase.referralId}/opinion`, {
        base: 1,
        fields: { conclusion: value },
      }),
      await cardiologist.patch(`/api/cases/${world.practiceA}/${theCase.referralId}/opinion`, {
        base: 1,
        fields: { findings: { mitral: { state: 'described', text: value } } },
      }),
      await cardiologist.put(`/api/cases/${world.practiceA}/${theCase.referralId}/wishes/${uuidv7()}`, {
        base: 99,
        views: [{ view: 'rps-long-4ch', how: value }],
        text: '',
      }),
      await cardiologist.put(`/api/cases/${world.practiceA}/${theCase.referralId}/interims/${uuidv7()}`, {
        text: value,
      }),
      await vet.put(`${at}/arrivals/${uuidv7()}`, {
        referralId: d.referralId,
        scanId: d.scanId,
        fileName: value,
        sizeBytes: 9,
        sha256: null,
      }),
      await vet.post('/api/sessions', { email: value, password: value }),
    ];
    for (const [n, r] of replies.entries())
      expect(r.status, `${what}, request ${n}: ${r.raw.slice(0, 200)}`).toBeLessThan(500);
  });

  it.each([
    ['base', 2 ** 31],
    ['base', 2 ** 53],
    ['base', 0],
    ['base', -1],
    ['base', 1.5],
    ['base', '1'],
  ])('%s of %o is refused', async (_field, base) => {
    const d = await openDraft(vet, world, world.practiceA);
    const reply = await vet.post(`${d.base}/withdraw`, { base, reason: 'double' });
    expect([400, 412], reply.raw).toContain(reply.status);
    expect((await t.admin`select state from referrals where id = ${d.referralId}`)[0]?.['state']).toBe(
      'draft',
    );
  });

  it.each(['2026-02-30', '26-11-25', '2026-13-01', '25.11.2026', '', '2026-11-25T10:00:00Z', '0000-01-01'])(
    'the day %o is refused with a sentence',
    async (weighedOn) => {
      const reply = await vet.put(
        `/api/practices/${world.practiceA}/patients/${theCase.patientId}/weights/${uuidv7()}`,
        {
          weightKg: 7.4,
          asTyped: '7.4 kg',
          guessed: false,
          weighedOn,
        },
      );
      expect(reply.status, reply.raw).toBe(400);
      expect((reply.body as { message: string }).message.length).toBeGreaterThan(10);
    },
  );

  it.each([-5, 0, 1.5, '10', 2 ** 60])(
    'a file of %o bytes is refused by name of its field',
    async (sizeBytes) => {
      const reply = await vet.put(`/api/practices/${world.practiceA}/arrivals/${uuidv7()}`, {
        referralId: theCase.referralId,
        scanId: theCase.scanId,
        fileName: 'a.dcm',
        sizeBytes,
        sha256: null,
      });
      expect([400, 413], reply.raw).toContain(reply.status);
      expect(reply.body).toMatchObject({ field: 'sizeBytes' });
    },
  );

  it('a body beyond the limit is refused as too large', async () => {
    const reply = await vet.call(
      'PUT',
      `/api/practices/${world.practiceA}/patients/${uuidv7()}`,
      `{"name":"${'x'.repeat(3_000_000)}"}`,
      {
        'content-type': 'application/json',
      },
    );
    expect(reply.status).toBe(413);
  });
});
