import type { ArrivalRecord, CaseView, EventView } from '@chordae/contract';
import { and, asc, eq, inArray, sql } from 'drizzle-orm';
import type { Actor, ActorTx } from '../../platform/db/database';
import type { CaseRef } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { groupSettingsOf, listAgreements, practiceName } from '../accounts';
import { outcomeOf } from '../after-answer';
import { arrivals, receivedBytes, stillArriving, toArrivalRecord } from '../arrivals';
import { assessmentSummaries } from '../assessments';
import { findReferral, patientViewOf, type ReferralRowDb, scansOf } from '../cases';
import { clips, clipsOf, statementsOf } from '../clips';
import { recordEvent } from '../events';
import { firstFramesOf } from '../first-frames';
import { engineNewsOf, latestInterpretation } from '../interpretations';
import { measurementsOf, observationsOf } from '../measurements';
import { threadOf } from '../messages';
import { flagAnswersOf, interimsOf, loadDraft, openReading, wishesOf } from '../opinions';
import { caseReportOf } from '../scan-reports';
import { secondReadRow, toSecondRead } from '../second-reads';
import { signedOpinionsOf } from '../signatures';
import { blinded } from './blind';

/** One referral as its viewer may see it. Row-level security decides the rows; this only gathers. */
export async function viewCase(
  tx: ActorTx,
  services: Services,
  actor: Actor & { memberId: string },
  onCase: CaseRef,
): Promise<CaseView> {
  const { practiceId, referralId, side } = onCase;
  const row = await findReferral(tx, practiceId, referralId);
  const scans = await scansOf(tx, practiceId, referralId);
  const agreements = await listAgreements(tx);
  const partners = agreements.filter((a) => a.practiceId === practiceId);
  const chosen = partners.find((a) => a.groupId === row.wantedGroupId) ?? null;
  // Nobody is asked yet: where there is only one to call, a flag that says 'call' still knows the number.
  const agreement =
    chosen ?? (row.wantedGroupId === null && partners.length === 1 ? (partners[0] ?? null) : null);
  const patient =
    row.patientSent ?? (await patientViewOf(tx, practiceId, row.patientId, scans[0]?.scannedOn ?? ''));
  const files = side === 'practice' ? await arrivalsOf(tx, services, practiceId, referralId) : [];
  const reading = side === 'group' || row.readerName ? await openReading(tx, practiceId, referralId) : null;
  const seen = await clipsOf(tx, practiceId, referralId);
  const looked = await assessmentSummaries(
    tx,
    practiceId,
    seen.map((clip) => clip.id),
  );
  const statements = await statementsOf(tx, practiceId, referralId);
  const second = side === 'group' ? await secondReadRow(tx, practiceId, referralId) : null;
  const mine = second?.memberId === actor.memberId ? second : null;
  await noteOpened(tx, actor, onCase);
  const view: CaseView = {
    side,
    referral: referralRecordOf(row, await practiceName(tx, practiceId), chosen?.groupName ?? ''),
    agreement,
    patient,
    scans,
    arrivals: files,
    arriving:
      side === 'group'
        ? await stillArriving(tx, practiceId, referralId)
        : files.filter((f) => ['expected', 'arriving', 'arrived'].includes(f.state)).length,
    firstFrames: await firstFramesOf(tx, practiceId, referralId),
    statements,
    clips: seen.map((clip) => ({ ...clip, assessment: looked.get(clip.id) ?? null })),
    measurements: await measurementsOf(tx, practiceId, referralId),
    observations: await observationsOf(tx, practiceId, referralId),
    interpretation: await latestInterpretation(tx, practiceId, referralId),
    engineNews: await engineNewsOf(tx, row),
    flagAnswers: await flagAnswersOf(tx, practiceId, referralId),
    interims: await interimsOf(tx, practiceId, referralId),
    wishes: await wishesOf(tx, practiceId, referralId),
    opinions: await signedOpinionsOf(tx, practiceId, referralId),
    report: await caseReportOf(tx, onCase),
    reader: reading
      ? { memberId: reading.memberId, name: reading.memberName, since: reading.startedAt.toISOString() }
      : null,
    handedTo:
      side === 'group' && row.handedTo && row.handedToName
        ? {
            memberId: row.handedTo,
            name: row.handedToName,
            by: row.handedByName ?? '',
            reason: row.handOverReason ?? '',
          }
        : null,
    draft: reading?.memberId === actor.memberId ? await loadDraft(tx, practiceId, referralId) : null,
    secondRead: mine ? toSecondRead(mine) : null,
    secondReadWanted: side === 'group' && row.secondReadWanted && second === null,
    thread: await threadOf(tx, practiceId, referralId),
    outcome: await outcomeOf(tx, practiceId, referralId),
    marksOff: row.wantedGroupId ? (await groupSettingsOf(tx, row.wantedGroupId)).marksOff : [],
    events: await eventsOf(tx, practiceId, referralId),
  };
  return mine && (mine.signedAt === null || view.opinions.length === 0) ? blinded(view) : view;
}

function referralRecordOf(row: ReferralRowDb, practiceName: string, groupName: string): CaseView['referral'] {
  return {
    id: row.id,
    practiceId: row.practiceId,
    practiceName,
    groupName,
    groupId: row.wantedGroupId,
    number: row.number,
    state: row.state,
    revision: row.revision,
    plan: row.plan,
    question: row.question,
    history: row.history,
    urgencyAsked: row.urgencyAsked,
    urgencyReason: row.urgencyReason,
    urgency: row.urgency,
    createdAt: row.createdAt.toISOString(),
    sentAt: row.sentAt?.toISOString() ?? null,
    dueAt: row.dueAt?.toISOString() ?? null,
    identity: row.identity,
  };
}

async function arrivalsOf(
  tx: ActorTx,
  services: Services,
  practiceId: string,
  referralId: string,
): Promise<ArrivalRecord[]> {
  const rows = await tx
    .select()
    .from(arrivals)
    .where(and(eq(arrivals.practiceId, practiceId), eq(arrivals.referralId, referralId)))
    .orderBy(asc(arrivals.createdAt));
  const made =
    rows.length === 0
      ? []
      : await tx
          .select({ id: clips.id, arrivalId: clips.arrivalId })
          .from(clips)
          .where(
            and(
              eq(clips.practiceId, practiceId),
              inArray(
                clips.arrivalId,
                rows.map((r) => r.id),
              ),
            ),
          );
  return Promise.all(
    rows.map(async (r) =>
      toArrivalRecord(
        r,
        await receivedBytes(services, r),
        made.find((m) => m.arrivalId === r.id)?.id ?? null,
      ),
    ),
  );
}

async function eventsOf(tx: ActorTx, practiceId: string, referralId: string): Promise<EventView[]> {
  const rows = await tx.execute<{
    id: string;
    kind: string;
    at: string | Date;
    actor_name: string;
    data: Record<string, unknown> | null;
  }>(sql`
    select e.id, e.kind, e.at, e.actor_name, p.data from events e left join event_payloads p on p.practice_id = e.practice_id and p.event_id = e.id
     where e.practice_id = ${practiceId} and e.referral_id = ${referralId} and e.kind not in ('case.interpreted', 'clip.assessed', 'first-frame.arrived') order by e.seq desc limit 200`);
  return rows
    .map((r) => ({
      id: r.id,
      kind: r.kind,
      at: new Date(r.at).toISOString(),
      by: r.actor_name,
      data: r.data ?? {},
    }))
    .reverse();
}

/** Who looked is kept as well as who wrote; once in ten minutes and person is enough. */
async function noteOpened(tx: ActorTx, actor: Actor & { memberId: string }, onCase: CaseRef): Promise<void> {
  const recent = await tx.execute(sql`
    select 1 from events where practice_id = ${onCase.practiceId} and referral_id = ${onCase.referralId} and kind = 'case.opened'
       and actor_id = ${actor.memberId} and at > app_now() - interval '10 minutes' limit 1`);
  if (recent.length > 0) return;
  await recordEvent(tx, actor, {
    practiceId: onCase.practiceId,
    groupId: onCase.groupId,
    referralId: onCase.referralId,
    kind: 'case.opened',
  });
}
