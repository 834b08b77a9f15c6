import { EMPTY_STATE_AT_SCAN } from '@chordae/contract';
import { uuidv7 } from '../platform/uuid';
import { type DemoSession, demoSession } from './demo-session';
import { playClip } from './play-clip';
import { playOpinion } from './play-opinion';
import { playReport } from './play-report';
import { DEMO_PASSWORD, memberOf, type PatientScript, type ReferralScript, type Stage } from './stage';

/** The day so many months before another; the 28th at most, so that every month has it. `dayBefore('2026-11-30', 6)` is 2026-05-28. */
export function dayBefore(today: string, months: number): string {
  const [year = 0, month = 1, day = 1] = today.split('-').map(Number);
  const count = year * 12 + month - 1 - months;
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${Math.floor(count / 12)}-${two((count % 12) + 1)}-${two(Math.min(day, 28))}`;
}

interface Play {
  readonly sender: DemoSession;
  readonly patient: PatientScript;
  readonly patientId: string;
  readonly practiceId: string;
  /** Day of the scan, YYYY-MM-DD. */
  readonly day: string;
  /** Tells the drawn clips apart. */
  readonly seed: number;
}

/** Everything about one patient, in the order in which it happened. */
export async function playPatient(
  stage: Stage,
  script: PatientScript,
  index: number,
): Promise<{ patientId: string; referralId: string }> {
  const sender = await demoSession(stage.app, memberOf(script.by).email, DEMO_PASSWORD);
  const practiceId = stage.ids.get(script.practice) ?? '';
  const patientId = uuidv7();
  const today = stage.services.clock.now().toISOString().slice(0, 10);
  const at = `/api/practices/${practiceId}`;
  await sender.put(`${at}/patients/${patientId}`, script.patient);
  await sender.put(`${at}/patients/${patientId}/keeper`, script.keeper);
  const play = { sender, patient: script, patientId, practiceId };
  const seed = 100 * (index + 1);
  const { earlier } = script;
  if (earlier) {
    const day = dayBefore(today, earlier.monthsAgo);
    const referralId = await playReferral(stage, earlier, { ...play, day, seed: seed + 50 });
    await closeReferral(play, referralId);
  }
  return { patientId, referralId: await playReferral(stage, script, { ...play, day: today, seed }) };
}

async function revisionOf(sender: DemoSession, onCase: string): Promise<number> {
  const { referral } = (await sender.get(onCase)) as { referral: { revision: number } };
  return referral.revision;
}

async function closeReferral(play: Omit<Play, 'day' | 'seed'>, referralId: string): Promise<void> {
  const { sender, practiceId } = play;
  const base = await revisionOf(sender, `/api/cases/${practiceId}/${referralId}`);
  await sender.post(`/api/practices/${practiceId}/referrals/${referralId}/close`, { base });
}

async function playReferral(stage: Stage, script: ReferralScript, play: Play): Promise<string> {
  const { sender, patient, patientId, practiceId, day } = play;
  const groupId = script.report ? null : (stage.ids.get('larkholt') ?? '');
  const [referralId, scanId] = [uuidv7(), uuidv7()] as [string, string];
  const at = `/api/practices/${practiceId}`;
  if (script.weight) {
    const { kg, asTyped, guessed } = script.weight;
    await sender.put(`${at}/patients/${patientId}/weights/${uuidv7()}`, {
      weightKg: kg,
      asTyped,
      guessed,
      weighedOn: day,
    });
  }
  await sender.put(`${at}/referrals/${referralId}`, {
    patientId,
    groupId,
    plan: script.plan,
    scanId,
    scannedOn: day,
  });
  await sender.patch(`${at}/scans/${scanId}`, {
    base: 1,
    fields: {
      operator: memberOf(patient.by).name,
      machine: 'Invented ultrasound machine',
      state: { ...EMPTY_STATE_AT_SCAN, ...script.state },
    },
  });
  await sender.patch(`${at}/referrals/${referralId}`, {
    base: 1,
    fields: { question: script.question, history: script.history, urgencyAsked: script.urgencyAsked },
  });
  const onCase = `/api/cases/${practiceId}/${referralId}`;
  for (const [code, value] of Object.entries(script.observations))
    await sender.put(`${onCase}/observations/${uuidv7()}`, { code, value, supersedesId: null });
  for (const [code, mm, view, beat] of script.measurements) {
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
      practice: patient.practice,
      patient: patient.patient,
      weightKg: script.weight?.kg ?? null,
      clip,
      practiceId,
      referralId,
      scanId,
      day,
      seed: play.seed + n,
    });
  if (script.send)
    await sender.post(`${at}/referrals/${referralId}/send`, {
      base: await revisionOf(sender, onCase),
      identityReason: null,
    });
  if (script.opinion) await playOpinion(stage, script.opinion, { onCase });
  if (script.report)
    await playReport(stage, sender, script.report, { at: `${at}/referrals/${referralId}`, onCase, day });
  return referralId;
}
