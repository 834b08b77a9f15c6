import type { CaseView } from '@chordae/contract';
import type { FastifyInstance, InjectOptions } from 'fastify';
import type postgres from 'postgres';
import { hashPassword } from '../../apps/api/src/features/accounts';
import { uuidv7 } from '../../apps/api/src/platform/uuid';

/** An invented world of two practices and two reading groups; names are made up for these tests. */
export interface World {
  readonly practiceA: string;
  readonly practiceB: string;
  readonly group: string;
  readonly otherGroup: string;
  readonly people: Record<Person, { id: string; email: string }>;
}
export type Person =
  | 'vetA'
  | 'vetB'
  | 'managerA'
  | 'sonographer'
  | 'cardiologist'
  | 'secondCardiologist'
  | 'lead'
  | 'otherCardiologist';

export const PASSWORD = 'a long enough test phrase';
let hash: Promise<string> | null = null;

export async function makeWorld(admin: postgres.Sql): Promise<World> {
  hash ??= hashPassword(PASSWORD);
  const passwordHash = await hash;
  const [practiceA, practiceB, group, otherGroup] = [uuidv7(), uuidv7(), uuidv7(), uuidv7()] as [
    string,
    string,
    string,
    string,
  ];
  for (const [id, name] of [
    [practiceA, 'Test Practice Ash'],
    [practiceB, 'Test Practice Birch'],
  ] as const) {
    await admin`insert into practices (id, name, zone, phone) values (${id}, ${name}, 'Europe/Dublin', '+353 1 000 0001')`;
  }
  for (const [id, name] of [
    [group, 'Test Readers'],
    [otherGroup, 'Other Test Readers'],
  ] as const) {
    await admin`insert into reading_groups (id, name, zone, phone) values (${id}, ${name}, 'Europe/Dublin', '+353 1 000 0002')`;
  }
  const hours = JSON.stringify([1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '08:00', to: '18:00' })));
  const targets = JSON.stringify({ emergency: 60, urgent: 480, routine: 2880 });
  for (const [p, g] of [
    [practiceA, group],
    [practiceB, group],
    [practiceB, otherGroup],
  ] as const) {
    await admin`insert into agreements (practice_id, group_id, id, zone, opening_hours, target_minutes, emergency_contact)
      values (${p}, ${g}, ${uuidv7()}, 'Europe/Dublin', ${hours}::text::jsonb, ${targets}::text::jsonb, 'Test night clinic, +353 1 000 0003')`;
  }
  const people = {} as Record<Person, { id: string; email: string }>;
  const join = async (
    person: Person,
    name: string,
    places: { practice?: string; group?: string; role: string }[],
  ) => {
    const id = uuidv7();
    const email = `${person.toLowerCase()}@test.example`;
    people[person] = { id, email };
    await admin`insert into members (id, email, name, password_hash) values (${id}, ${email}, ${name}, ${passwordHash})`;
    for (const place of places) {
      await admin`insert into memberships (id, member_id, practice_id, group_id, role) values (${uuidv7()}, ${id}, ${place.practice ?? null}, ${place.group ?? null}, ${place.role})`;
    }
  };
  await join('vetA', 'Vet of Ash', [{ practice: practiceA, role: 'referring-vet' }]);
  await join('vetB', 'Vet of Birch', [{ practice: practiceB, role: 'referring-vet' }]);
  await join('managerA', 'Manager of Ash', [{ practice: practiceA, role: 'manager' }]);
  await join('sonographer', 'Sonographer of both', [
    { practice: practiceA, role: 'sonographer' },
    { practice: practiceB, role: 'sonographer' },
  ]);
  await join('cardiologist', 'First cardiologist', [{ group, role: 'cardiologist' }]);
  await join('secondCardiologist', 'Second cardiologist', [{ group, role: 'cardiologist' }]);
  await join('lead', 'Lead of readers', [{ group, role: 'lead' }]);
  await join('otherCardiologist', 'Cardiologist elsewhere', [{ group: otherGroup, role: 'cardiologist' }]);
  return { practiceA, practiceB, group, otherGroup, people };
}

export interface Session {
  readonly cookie: string;
  call(
    method: string,
    url: string,
    body?: unknown,
    headers?: Record<string, string>,
  ): Promise<{ status: number; body: never; raw: string; headers: Record<string, unknown>; bytes: Buffer }>;
  get(url: string): ReturnType<Session['call']>;
  put(url: string, body: unknown): ReturnType<Session['call']>;
  post(url: string, body: unknown): ReturnType<Session['call']>;
  patch(url: string, body: unknown): ReturnType<Session['call']>;
}

/** A session over injected HTTP, signed in by the same path as a browser. */
export async function signIn(app: FastifyInstance, email: string, password = PASSWORD): Promise<Session> {
  const reply = await app.inject({
    method: 'POST',
    url: '/api/sessions',
    payload: { email, password },
    headers: { host: 'localhost' },
  });
  if (reply.statusCode !== 200) throw new Error(`sign-in of ${email}: ${reply.statusCode} ${reply.body}`);
  const cookie = reply.cookies.map((c) => `${c.name}=${c.value}`).join('; ');
  return sessionOf(app, cookie);
}

export function sessionOf(app: FastifyInstance, cookie: string): Session {
  const call: Session['call'] = async (method, url, body, headers = {}) => {
    const options: InjectOptions = {
      method: method as 'GET',
      url,
      headers: { host: 'localhost', ...(cookie ? { cookie } : {}), ...headers },
      ...(body === undefined ? {} : { payload: body as object }),
    };
    const reply = await app.inject(options);
    const isJson = reply.body !== '' && String(reply.headers['content-type'] ?? '').includes('json');
    return {
      status: reply.statusCode,
      body: (isJson ? reply.json() : undefined) as never,
      raw: reply.body,
      headers: reply.headers,
      bytes: reply.rawPayload,
    };
  };
  return {
    cookie,
    call,
    get: (url) => call('GET', url),
    put: (url, b) => call('PUT', url, b),
    post: (url, b) => call('POST', url, b),
    patch: (url, b) => call('PATCH', url, b),
  };
}

export interface OpenedReferral {
  readonly practiceId: string;
  readonly patientId: string;
  readonly referralId: string;
  readonly scanId: string;
  readonly base: string;
}

/** The whole case as this person sees it. */
export async function caseOf(session: Session, d: OpenedReferral): Promise<CaseView> {
  return (await session.get(`/api/cases/${d.practiceId}/${d.referralId}`)).body as CaseView;
}

/** A patient with a weight, and a draft referral about it. */
export async function openDraft(
  session: Session,
  world: World,
  practiceId: string,
  options: {
    species?: string;
    weightKg?: number;
    name?: string;
    plan?: string;
    groupId?: string;
    /** A patient that exists already. */
    patientId?: string;
    /** Day of the scan; the fixed day of the tests unless the files were made on another. */
    scannedOn?: string;
  } = {},
): Promise<OpenedReferral> {
  const [referralId, scanId] = [uuidv7(), uuidv7()] as [string, string];
  const patientId = options.patientId ?? uuidv7();
  const at = `/api/practices/${practiceId}`;
  const fine = (r: { status: number; raw: string }) => {
    if (r.status !== 200) throw new Error(`${r.status}: ${r.raw}`);
  };
  if (!options.patientId)
    fine(
      await session.put(`${at}/patients/${patientId}`, {
        name: options.name ?? 'Pebble',
        species: options.species ?? 'dog',
        breedCode: null,
        breedText: 'mixed',
        sex: 'female',
        neutered: true,
        birthDate: '2014-03-02',
        birthPrecision: 'day',
        chip: null,
      }),
    );
  if (options.weightKg !== 0) {
    const weightKg = options.weightKg ?? 7.4;
    fine(
      await session.put(`${at}/patients/${patientId}/weights/${uuidv7()}`, {
        weightKg,
        asTyped: `${weightKg} kg`,
        guessed: false,
        weighedOn: '2026-11-25',
      }),
    );
  }
  fine(
    await session.put(`${at}/referrals/${referralId}`, {
      patientId,
      groupId: options.groupId ?? world.group,
      plan: options.plan ?? 'small-dog-murmur',
      scanId,
      scannedOn: options.scannedOn ?? '2026-11-25',
    }),
  );
  return { practiceId, patientId, referralId, scanId, base: `${at}/referrals/${referralId}` };
}

export async function typeMeasurement(
  session: Session,
  draft: OpenedReferral,
  code: string,
  value: number,
  more: Record<string, unknown> = {},
): Promise<{ id: string; status: number; raw: string }> {
  const id = uuidv7();
  const unit = code.endsWith('vmax') || code.startsWith('mitral-') ? 'm/s' : 'mm';
  const reply = await session.put(`/api/cases/${draft.practiceId}/${draft.referralId}/measurements/${id}`, {
    code,
    value,
    unit,
    asTyped: `${value} ${unit}`,
    view: 'rps-short-papillary',
    method: '2d',
    beat: 1,
    clipId: null,
    frame: null,
    source: 'typed',
    geometry: null,
    supersedesId: null,
    ...more,
  });
  return { id, status: reply.status, raw: reply.raw };
}

export async function observe(
  session: Session,
  draft: OpenedReferral,
  code: string,
  value: string,
): Promise<{ status: number; raw: string }> {
  return session.put(`/api/cases/${draft.practiceId}/${draft.referralId}/observations/${uuidv7()}`, {
    code,
    value,
    supersedesId: null,
  });
}
