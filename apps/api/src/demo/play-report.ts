import { type CaseView, EMPTY_REPORT, type ReportText } from '@chordae/contract';
import { monthsAfter } from '@chordae/words';
import { uuidv7 } from '../platform/uuid';
import { jobTable } from '../worker';
import type { DemoSession } from './demo-session';
import { DEMO_PASSWORD, type ReportScript, type Stage } from './stage';

/** Who scanned writes a report and, if the script says so, signs it; the practice finds it among its referrals. */
export async function playReport(
  stage: Stage,
  writer: DemoSession,
  script: ReportScript,
  where: { at: string; onCase: string; day: string },
): Promise<void> {
  const look = async () => (await writer.get(where.onCase)) as CaseView;
  const before = await look();
  const { conclusion, next, notToConclude, recheckFor } = script;
  const clip = before.clips[0];
  const fields: ReportText = {
    ...EMPTY_REPORT,
    conclusion,
    next,
    notToConclude,
    recheckFor,
    recheckOn: script.recheckMonths === null ? null : monthsAfter(where.day, script.recheckMonths),
    findings: Object.fromEntries(
      Object.entries(script.findings).map(([structure, text]) => [
        structure,
        { state: 'described' as const, text, proposed: null },
      ]),
    ),
    keyFrames:
      script.keyFrame !== null && clip
        ? [{ id: uuidv7(), clipId: clip.id, frame: 4, caption: script.keyFrame, drawings: [] }]
        : [],
  };
  await writer.patch(`${where.at}/report`, { base: 1, draftId: uuidv7(), fields });
  if (!script.sign) return;
  const now = await look();
  const signedId = uuidv7();
  await writer.post(`${where.at}/report/sign`, {
    base: now.referral.revision,
    draftRevision: now.report.draft?.revision ?? 1,
    fields,
    inputHash: null,
    signedId,
    deviceSignedAt: null,
    password: DEMO_PASSWORD,
  });
  await jobTable(stage.worker)['report.render']({ practiceId: now.referral.practiceId, signedId });
}
