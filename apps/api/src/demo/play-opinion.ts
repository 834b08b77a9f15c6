import { uuidv7 } from '../platform/uuid';
import { demoSession } from './demo-session';
import { DEMO_PASSWORD, memberOf, type OpinionScript, type Stage } from './stage';

/** A cardiologist takes the referral, writes, keeps every flag and signs. */
export async function playOpinion(
  stage: Stage,
  script: OpinionScript,
  where: { onCase: string },
): Promise<void> {
  const reader = await demoSession(stage.app, memberOf(script.by).email, DEMO_PASSWORD);
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
