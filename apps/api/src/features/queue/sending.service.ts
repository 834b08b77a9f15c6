import { createHash } from 'node:crypto';
import {
  type Agreement,
  type Interpretation,
  isUnsent,
  type PatientView,
  type SendingPreview,
} from '@chordae/contract';
import { compareIdentity } from '@chordae/dicom';
import { numbersHashOf, sendingBlockers, urgencyRank, urgencyThatStands } from '@chordae/interpretation';
import { saySendingChanged } from '@chordae/words';
import { and, eq, sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { findAgreement, groupSettingsOf } from '../accounts';
import { arrivals } from '../arrivals';
import {
  changedByOthers,
  dueTime,
  findReferral,
  isOpen,
  lockReferral,
  moveReferral,
  nextOpening,
  patientViewOf,
  type ReferralRowDb,
  scansOf,
  watchEmergencyLater,
} from '../cases';
import { clipsOf } from '../clips';
import { clinicalWordsIn, computeCase, storeInterpretation } from '../interpretations';

/**
 * Whether a referral is among the share that is read twice: by its id, so that nobody chooses which.
 * About `percent` of a hundred ids are; the same id always gives the same answer.
 */
export function wantsSecondRead(referralId: string, percent: number): boolean {
  const place = createHash('sha256').update(`second-read:${referralId}`).digest().readUInt32BE(0) % 100;
  return place < percent;
}

export interface Preparation {
  readonly referral: ReferralRowDb;
  readonly agreement: Agreement;
  readonly patient: PatientView;
  readonly result: Interpretation;
  /** Hash of the numbers that all of it rests on. */
  readonly numbersHash: string;
  readonly clinicalWords: string[];
  readonly preview: SendingPreview;
}

/** All that sending rests on, computed once for the preview and again, for good, when it is sent. */
export async function prepareSending(
  tx: ActorTx,
  services: Services,
  practiceId: string,
  referralId: string,
): Promise<Preparation> {
  const referral = await findReferral(tx, practiceId, referralId);
  if (!referral.wantedGroupId)
    throw new AppError('NOT_READY', { blocker: 'GROUP_MISSING' }, { field: 'groupId' });
  const agreement = await findAgreement(tx, practiceId, referral.wantedGroupId);
  const scans = await scansOf(tx, practiceId, referralId);
  const scannedOn = scans[0]?.scannedOn ?? '';
  const patient = await patientViewOf(tx, practiceId, referral.patientId, scannedOn);
  const { input, result } = await computeCase(tx, practiceId, referralId);
  const clips = await clipsOf(tx, practiceId, referralId);
  const waiting = await tx
    .select({
      id: arrivals.id,
      fileName: arrivals.fileName,
      scanId: arrivals.scanId,
      machine: arrivals.machine,
    })
    .from(arrivals)
    .where(
      and(
        eq(arrivals.practiceId, practiceId),
        eq(arrivals.referralId, referralId),
        sql`${arrivals.state} in ('expected', 'arriving', 'arrived')`,
      ),
    );
  const dates = new Map(scans.map((s) => [s.id, s.scannedOn]));
  // A file on its way is compared by what its header said in the browser: an animal mixed up is met before it is sent.
  const identity = [...clips, ...waiting].flatMap(({ id, fileName, scanId, machine }) =>
    machine
      ? compareIdentity(
          { clipId: id, fileName: fileName ?? '', machine },
          patient,
          dates.get(scanId) ?? scannedOn,
        )
      : [],
  );
  const blockers = sendingBlockers({
    question: referral.question,
    clips,
    filesOnTheWay: waiting.length,
    measurements: input.measurements.length,
    observations: input.observations.length,
  });
  const now = services.clock.now();
  const stands = urgencyThatStands(referral.urgencyAsked, result.urgencyProposed, referral.urgencyReason);
  const preview: SendingPreview = {
    blockers,
    identity,
    stillArriving: waiting.length,
    urgencyProposed: result.urgencyProposed,
    urgencyThatStands: stands,
    dueAt: dueTime(agreement, stands, now).toISOString(),
    readNow: isOpen(agreement, now),
    nextOpensAt: nextOpening(agreement, now)?.toISOString() ?? null,
    groupPhone: agreement.groupPhone,
    emergencyContact: agreement.emergencyContact,
  };
  return {
    referral,
    agreement,
    patient,
    result,
    numbersHash: numbersHashOf(input),
    clinicalWords: clinicalWordsIn(input),
    preview,
  };
}

interface SendAsk {
  readonly practiceId: string;
  readonly referralId: string;
  readonly base: number;
  readonly identityReason: string | null;
  readonly sendingId?: string | undefined;
  readonly inputHash?: string | undefined;
  readonly differencesSeen?: number | undefined;
}

/**
 * Sends a draft, by all that is known of it now. Where the request says what its sender had looked over (`inputHash`), it
 * may have waited for days on a device: one's own patches have raised the revision since, but nothing that was looked over
 * may have been changed by somebody else.
 */
export async function sendReferral(
  tx: ActorTx,
  services: Services,
  actor: Actor,
  ask: SendAsk,
): Promise<{ revision: number }> {
  const where = { practiceId: ask.practiceId, referralId: ask.referralId };
  // Locked first, so that the same request sent twice at once sends once.
  const row = await lockReferral(tx, where);
  if (ask.sendingId && (await wasSentBy(tx, where, ask.sendingId))) return { revision: row.revision };
  await storeInterpretation(tx, actor, ask.practiceId, ask.referralId, services.clock.now());
  const p = await prepareSending(tx, services, ask.practiceId, ask.referralId);
  if (ask.inputHash !== undefined && isUnsent(row.state)) refuseUnseen(row, p.numbersHash, ask, actor);
  const blocker = p.preview.blockers[0];
  if (blocker && isUnsent(p.referral.state))
    throw new AppError('NOT_READY', { blocker: blocker.code, ...blocker.data }, { field: blocker.field });
  const differs = p.preview.identity.filter((i) => i.verdict === 'differs');
  // A reason covers the differences that its writer saw, not a file that came since.
  if (differs.length > (ask.identityReason ? (ask.differencesSeen ?? differs.length) : 0))
    throw new AppError('IDENTITY_UNRESOLVED', { differences: differs.length }, { field: 'identityReason' });
  const identity =
    p.preview.identity.length === 0 ? 'nothing-to-compare' : differs.length > 0 ? 'resolved' : 'agreed';
  const now = services.clock.now();
  const groupId = p.agreement.groupId;
  const { secondReadPercent } = await groupSettingsOf(tx, groupId);
  const moved = await moveReferral(
    tx,
    actor,
    where,
    'referral.sent',
    ask.inputHash === undefined ? ask.base : row.revision,
    {
      groupId,
      identity,
      identityReason: ask.identityReason,
      patientSent: p.patient,
      urgency: p.preview.urgencyThatStands,
      urgencyRank: urgencyRank[p.preview.urgencyThatStands],
      urgencyProposed: p.preview.urgencyProposed,
      actNow: p.result.flags.filter((f) => f.level === 'act-now').map((f) => f.code),
      clinicalWords: p.clinicalWords,
      secondReadWanted: wantsSecondRead(ask.referralId, secondReadPercent),
      sentAt: now,
      dueAt: new Date(p.preview.dueAt),
    },
    // The reason is a practice's free text and may name a person: it stays out of what the group reads.
    {
      urgency: p.preview.urgencyThatStands,
      identity,
      ...(ask.sendingId ? { sendingId: ask.sendingId } : {}),
    },
  );
  if (p.preview.urgencyThatStands === 'emergency') await watchEmergencyLater(tx, where);
  await tx.execute(sql`select share_with_group(${ask.practiceId}, ${ask.referralId}, ${groupId})`);
  return { revision: moved.revision };
}

/** Whether this very request has sent the referral before: its reply was lost then. */
async function wasSentBy(
  tx: ActorTx,
  where: { practiceId: string; referralId: string },
  sendingId: string,
): Promise<boolean> {
  const found = await tx.execute(sql`
    select 1 from events e join event_payloads p on p.practice_id = e.practice_id and p.event_id = e.id
     where e.practice_id = ${where.practiceId} and e.referral_id = ${where.referralId} and e.kind = 'referral.sent'
       and p.data->>'sendingId' = ${sendingId}`);
  return found.length > 0;
}

/** What was looked over before sending. */
const LOOKED_OVER = ['wantedGroupId', 'plan', 'question', 'history', 'urgencyAsked', 'urgencyReason'];

function refuseUnseen(row: ReferralRowDb, numbersHash: string, ask: SendAsk, actor: Actor): void {
  const fields = changedByOthers(row, { base: ask.base, name: actor.name, fields: LOOKED_OVER });
  if (fields.length > 0)
    throw new AppError(
      'REVISION_STALE',
      { what: 'referral', fields },
      { message: saySendingChanged('referral') },
    );
  if (numbersHash !== ask.inputHash)
    throw new AppError('REVISION_STALE', { what: 'numbers' }, { message: saySendingChanged('numbers') });
}
