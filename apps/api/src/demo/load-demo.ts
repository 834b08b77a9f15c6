import postgres from 'postgres';
import scenario from '../../../../shared/demo/scenario.json';
import { buildApp } from '../app';
import { hashPassword } from '../features/accounts';
import type { Config } from '../platform/config/config';
import { makeServices } from '../platform/make-services';
import { uuidv7 } from '../platform/uuid';
import { playPatient } from './play-referral';
import { playRound, type RoundScript } from './play-round';
import { DEMO_PASSWORD, type Ids, type PatientScript } from './stage';

export { DEMO_PASSWORD } from './stage';

export interface DemoResult {
  readonly loaded: boolean;
  readonly members: { email: string; password: string; says: string }[];
}

/** Loads the invented scenario: organisations by SQL as their owner, everything clinical over the API, as people would. */
export async function loadDemo(
  config: Config,
  databaseUrl: string,
  options: { ifEmpty: boolean },
): Promise<DemoResult> {
  const admin = postgres(databaseUrl, { max: 1, onnotice: () => {} });
  const members = scenario.members.map((m) => ({
    email: m.email,
    password: DEMO_PASSWORD,
    says: `${m.name}, ${m.says}`,
  }));
  try {
    const practices = await admin<{ demo: boolean }[]>`select demo from practices`;
    if (practices.length > 0) {
      if (options.ifEmpty) return { loaded: false, members: practices.some((p) => p.demo) ? members : [] };
      throw new Error(
        'The database is not empty: the demo is loaded only into an empty one, so that it never mixes with real patients.',
      );
    }
    const ids = await makeOrganisations(admin);
    const services = makeServices(config, databaseUrl, 'chordae_app', 'demo');
    const worker = makeServices(config, databaseUrl, 'chordae_worker', 'demo');
    const app = await buildApp({ services, portal: null });
    await app.ready();
    try {
      const stage = { app, services, worker, ids };
      const played = new Map<string, { patientId: string; referralId: string }>();
      for (const [index, script] of (scenario.referrals as unknown as PatientScript[]).entries())
        played.set(script.patient.name, await playPatient(stage, script, index));
      for (const script of scenario.rounds as RoundScript[]) await playRound(stage, script, played);
    } finally {
      await app.close();
      await Promise.all([services.db.end(), worker.db.end()]);
    }
    return { loaded: true, members };
  } finally {
    await admin.end({ timeout: 5 });
  }
}

/** All or nothing: a start that is cut off here leaves an empty database, which the next start fills. */
async function makeOrganisations(admin: postgres.Sql): Promise<Ids> {
  const ids: Ids = new Map();
  const idOf = (key: string) => {
    const known = ids.get(key);
    if (known) return known;
    const made = uuidv7();
    ids.set(key, made);
    return made;
  };
  const passwordHash = await hashPassword(DEMO_PASSWORD);
  const json = (value: unknown) => JSON.stringify(value);
  await admin.begin(async (tx) => {
    for (const p of scenario.practices) {
      await tx`insert into practices (id, name, zone, phone, letterhead, demo) values (${idOf(p.key)}, ${p.name}, ${scenario.zone}, ${p.phone}, ${json({ schema: 1, lines: p.lines })}::text::jsonb, true)`;
    }
    for (const g of scenario.groups) {
      await tx`insert into reading_groups (id, name, zone, phone, letterhead, demo) values (${idOf(g.key)}, ${g.name}, ${scenario.zone}, ${g.phone}, ${json({ schema: 1, lines: [...g.lines, g.phone] })}::text::jsonb, true)`;
    }
    for (const a of scenario.agreements) {
      await tx`insert into agreements (practice_id, group_id, id, zone, opening_hours, target_minutes, emergency_contact)
        values (${idOf(a.practice)}, ${idOf(a.group)}, ${uuidv7()}, ${scenario.zone}, ${json(scenario.openingHours)}::text::jsonb, ${json(scenario.targetMinutes)}::text::jsonb, ${a.emergencyContact})`;
    }
    for (const m of scenario.members) {
      await tx`insert into members (id, email, name, password_hash) values (${idOf(m.key)}, ${m.email}, ${m.name}, ${passwordHash})`;
      for (const place of m.places as { practice?: string; group?: string; role: string }[]) {
        await tx`insert into memberships (id, member_id, practice_id, group_id, role)
          values (${uuidv7()}, ${idOf(m.key)}, ${place.practice ? idOf(place.practice) : null}, ${place.group ? idOf(place.group) : null}, ${place.role})`;
      }
    }
  });
  return ids;
}
