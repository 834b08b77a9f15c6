import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { EMPTY_STATE_AT_SCAN } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import postgres from 'postgres';
import scenario from '../../../../shared/demo/scenario.json';
import { buildApp } from '../app';
import { hashPassword } from '../features/accounts';
import { settleArrival } from '../features/arrivals';
import type { Config } from '../platform/config/config';
import { makeServices } from '../platform/make-services';
import type { Services } from '../platform/services';
import { uuidv7 } from '../platform/uuid';
import { jobTable } from '../worker';
import { demoClip } from './demo-clips';
import { type DemoSession, demoSession } from './demo-session';

/** One phrase for all invented members: the demo is for looking, and says so; real members are never made this way. */
export const DEMO_PASSWORD = 'look around the demo';

export interface DemoResult {
  readonly loaded: boolean;
  readonly members: { email: string; password: string; says: string }[];
}

type Scenario = typeof scenario;
type ReferralScript = Scenario['referrals'][number];

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
      for (const [index, script] of scenario.referrals.entries())
        await playReferral({ app, services, worker, ids }, script, index);
    } finally {
      await app.close();
      await Promise.all([services.db.end(), worker.db.end()]);
    }
    return { loaded: true, members };
  } finally {
    await admin.end({ timeout: 5 });
  }
}

type Ids = Map<string, string>;

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

interface Stage {
  readonly app: FastifyInstance;
  readonly services: Services;
  readonly worker: Services;
  readonly ids: Ids;
}

async function playReferral(stage: Stage, script: ReferralScript, index: number): Promise<void> {
  const sender = await demoSession(stage.app, emailOf(script.by), DEMO_PASSWORD);
  const practiceId = stage.ids.get(script.practice) ?? '';
  const groupId = stage.ids.get('larkholt') ?? '';
  const [patientId, referralId, scanId] = [uuidv7(), uuidv7(), uuidv7()] as [string, string, string];
  const today = stage.services.clock.now().toISOString().slice(0, 10);
  const at = `/api/practices/${practiceId}`;
  await sender.put(`${at}/patients/${patientId}`, script.patient);
  await sender.put(`${at}/patients/${patientId}/keeper`, script.keeper);
  if (script.weight) {
    const { kg, asTyped, guessed } = script.weight;
    await sender.put(`${at}/patients/${patientId}/weights/${uuidv7()}`, {
      weightKg: kg,
      asTyped,
      guessed,
      weighedOn: today,
    });
  }
  await sender.put(`${at}/referrals/${referralId}`, {
    patientId,
    groupId,
    plan: script.plan,
    scanId,
    scannedOn: today,
  });
  await sender.patch(`${at}/scans/${scanId}`, {
    base: 1,
    fields: { machine: 'Invented ultrasound machine', state: { ...EMPTY_STATE_AT_SCAN, ...script.state } },
  });
  await sender.patch(`${at}/referrals/${referralId}`, {
    base: 1,
    fields: { question: script.question, history: script.history, urgencyAsked: script.urgencyAsked },
  });
  const onCase = `/api/cases/${practiceId}/${referralId}`;
  for (const [code, value] of Object.entries(script.observations))
    await sender.put(`${onCase}/observations/${uuidv7()}`, { code, value, supersedesId: null });
  for (const [code, mm, view, beat] of script.measurements as [string, number, string, number][]) {
    await sender.put(`${onCase}/measurements/${uuidv7()}`, {
      code,
      value: mm,
      unit: 'mm',
      asTyped: `${mm} mm`,
      view,
      method: '2d',
      beat,
      clipId: null,
      frame: null,
      source: 'typed',
      geometry: null,
      supersedesId: null,
    });
  }
  for (const [n, clip] of script.clips.entries())
    await playClip(stage, sender, {
      script,
      clip,
      practiceId,
      referralId,
      scanId,
      day: today,
      seed: 100 * (index + 1) + n,
    });
  if (script.send) {
    const { referral } = (await sender.get(onCase)) as { referral: { revision: number } };
    await sender.post(`${at}/referrals/${referralId}/send`, {
      base: referral.revision,
      identityReason: null,
    });
  }
  if ('opinion' in script && script.opinion) await playOpinion(stage, script.opinion, { onCase });
}

interface ClipPlay {
  readonly script: ReferralScript;
  readonly clip: { view: string; variant: string };
  readonly practiceId: string;
  readonly referralId: string;
  readonly scanId: string;
  readonly day: string;
  readonly seed: number;
}

/** A clip comes the way every clip comes, save that its bytes are put into the upload folder instead of sent to it. */
async function playClip(stage: Stage, sender: DemoSession, play: ClipPlay): Promise<void> {
  const { script, practiceId, referralId } = play;
  const practice = scenario.practices.find((p) => p.key === script.practice);
  const bytes = await demoClip({
    view: play.clip.view as never,
    species: script.patient.species === 'cat' ? 'cat' : 'dog',
    heart: play.clip.variant as never,
    weightKg: script.weight?.kg ?? 38,
    patientName: script.patient.name,
    practiceName: practice?.name ?? '',
    day: play.day,
    seed: play.seed,
  });
  const arrivalId = uuidv7();
  await sender.put(`/api/practices/${practiceId}/arrivals/${arrivalId}`, {
    referralId,
    scanId: play.scanId,
    fileName: `IM_${String(play.seed).padStart(4, '0')}.dcm`,
    sizeBytes: bytes.length,
    sha256: null,
  });
  const folder = path.join(stage.services.config.dataFolder, 'uploads');
  await mkdir(folder, { recursive: true });
  await writeFile(path.join(folder, arrivalId), bytes);
  await settleArrival(stage.services, practiceId, arrivalId);
  await jobTable(stage.worker)['original.read']({ practiceId, arrivalId });
  const { clips, arrivals } = (await sender.get(`/api/cases/${practiceId}/${referralId}`)) as {
    clips: { id: string }[];
    arrivals: { id: string; clipId: string | null }[];
  };
  const clipId = arrivals.find((a) => a.id === arrivalId)?.clipId ?? clips.at(-1)?.id;
  if (clipId) await sender.patch(`/api/practices/${practiceId}/clips/${clipId}`, { view: play.clip.view });
}

type OpinionScript = NonNullable<Extract<ReferralScript, { opinion: unknown }>['opinion']>;

async function playOpinion(stage: Stage, script: OpinionScript, where: { onCase: string }): Promise<void> {
  const reader = await demoSession(stage.app, emailOf(script.by), DEMO_PASSWORD);
  const look = async () =>
    (await reader.get(where.onCase)) as {
      referral: { revision: number };
      draft: { revision: number } | null;
      interpretation: { flags: { key: string; level: string }[] } | null;
    };
  await reader.post(`${where.onCase}/take`, { base: (await look()).referral.revision });
  const findings = Object.fromEntries(
    Object.entries(script.findings).map(([structure, text]) => [structure, { state: 'described', text }]),
  );
  const { conclusion, stage: stageText, next, technique } = script;
  await reader.patch(`${where.onCase}/opinion`, {
    base: (await look()).draft?.revision ?? 1,
    fields: { conclusion, stage: stageText, next, technique, findings },
  });
  const now = await look();
  for (const flag of now.interpretation?.flags ?? [])
    await reader.put(`${where.onCase}/flag-answers/${uuidv7()}`, {
      flagKey: flag.key,
      answer: 'kept',
      reason: '',
    });
  await reader.post(`${where.onCase}/sign`, {
    base: now.referral.revision,
    draftRevision: now.draft?.revision ?? 1,
    inputHash: null,
    signedId: uuidv7(),
    password: DEMO_PASSWORD,
  });
}

function emailOf(key: string): string {
  return scenario.members.find((m) => m.key === key)?.email ?? '';
}
