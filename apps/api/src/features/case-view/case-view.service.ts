import type { ArrivalRecord, CaseView, EventView } from '@chordae/contract';
import { and, asc, eq, inArray, sql } from 'drizzle-orm';
import type { Actor, ActorTx } from '../../platform/db/database';
import { together } from '../../platform/db/together';
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
  await noteOpened(tx, actor, onCase);
  const group = side === 'group';
  const r = await together({
    scans: scansOf(tx, practiceId, referralId),
    agreements: listAgreements(tx),
    practice: practiceName(tx, practiceId),
    files: group ? [] : arrivalsOf(tx, services, practiceId, referralId),
    arriving: group ? stillArriving(tx, practiceId, referralId) : 0,
    reading: group || row.readerName ? openReading(tx, practiceId, referralId) : null,
    clips: clipsLookedAt(tx, practiceId, referralId),
    firstFrames: firstFramesOf(tx, practiceId, referralId),
    statements: statementsOf(tx, practiceId, referralId),
    second: group ? secondReadRow(tx, practiceId, referralId) : null,
    measurements: measurementsOf(tx, practiceId, referralId),
    observations: observationsOf(tx, practiceId, referralId),
    interpretation: latestInterpretation(tx, practiceId, referralId),
    engineNews: engineNewsOf(tx, row),
    flagAnswers: flagAnswersOf(tx, practiceId, referralId),
    interims: interimsOf(tx, practiceId, referralId),
    wishes: wishesOf(tx, practiceId, referralId),
    opinions: signedOpinionsOf(tx, practiceId, referralId),
    report: caseReportOf(tx, onCase),
    thread: threadOf(tx, practiceId, referralId),
    outcome: outcomeOf(tx, practiceId, referralId),
    settings: row.wantedGroupId ? groupSettingsOf(tx, row.wantedGroupId) : null,
    events: eventsOf(tx, practiceId, referralId),
  });
  const { reading, second } = r;
  const mine = second?.memberId === actor.memberId ? second : null;
  const { chosen, agreement } = partnersOf(row, r.agreements, practiceId);
  const scannedOn = r.scans[0]?.scannedOn ?? '';
  const view: CaseView = {
    side,
    referral: referralRecordOf(row, r.practice, chosen?.groupName ?? ''),
    agreement,
    patient: row.patientSent ?? (await patientViewOf(tx, practiceId, row.patientId, scannedOn)),
    scans: r.scans,
    arrivals: r.files,
    arriving: group
      ? r.arriving
      : r.files.filter((f) => ['expected', 'arriving', 'arrived'].includes(f.state)).length,
    firstFrames: r.firstFrames,
    statements: r.statements,
    clips: r.clips,
    measurements: r.measurements,
    observations: r.observations,
    interpretation: r.interpretation,
    engineNews: r.engineNews,
    flagAnswers: r.flagAnswers,
    interims: r.interims,
    wishes: r.wishes,
    opinions: r.opinions,
    report: r.report,
    reader: reading
      ? { memberId: reading.memberId, name: reading.memberName, since: reading.startedAt.toISOString() }
      : null,
    handedTo: group ? handedToOf(row) : null,
    draft: reading?.memberId === actor.memberId ? await loadDraft(tx, practiceId, referralId) : null,
    secondRead: mine ? toSecondRead(mine) : null,
    secondReadWanted: group && row.secondReadWanted && second === null,
    thread: r.thread,
    outcome: r.outcome,
    marksOff: r.settings?.marksOff ?? [],
    events: r.events,
  };
  return mine && (mine.signedAt === null || view.opinions.length === 0) ? blinded(view) : view;
}

/** The agreement with the group that was chosen. Nobody asked yet and only one to call: a flag that says 'call' knows the number. */
function partnersOf(
  row: ReferralRowDb,
  agreements: Awaited<ReturnType<typeof listAgreements>>,
  practiceId: string,
) {
  const partners = agreements.filter((a) => a.practiceId === practiceId);
  const chosen = partners.find((a) => a.groupId === row.wantedGroupId) ?? null;
  const only = row.wantedGroupId === null && partners.length === 1 ? (partners[0] ?? null) : null;
  return { chosen, agreement: chosen ?? only };
}

function handedToOf(row: ReferralRowDb): CaseView['handedTo'] {
  if (!row.handedTo || !row.handedToName) return null;
  const [by, reason] = [row.handedByName ?? '', row.handOverReason ?? ''];
  return { memberId: row.handedTo, name: row.handedToName, by, reason };
}

async function clipsLookedAt(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<CaseView['clips']> {
  const seen = await clipsOf(tx, practiceId, referralId);
  const ids = seen.map((clip) => clip.id);
  const looked = await assessmentSummaries(tx, practiceId, ids);
  return seen.map((clip) => ({ ...clip, assessment: looked.get(clip.id) ?? null }));
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
