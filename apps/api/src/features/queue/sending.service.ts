import { createHash } from 'node:crypto';
import {
  type Agreement,
  type Interpretation,
  isUnsent,
  type PatientView,
  type SendingPreview,
  type Urgency,
} from '@chordae/contract';
import { compareIdentity } from '@chordae/dicom';
import { urgencyRank } from '@chordae/interpretation';
import { and, eq, sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { findAgreement, groupSettingsOf } from '../accounts';
import { arrivals } from '../arrivals';
import {
  dueTime,
  findReferral,
  isOpen,
  moveReferral,
  nextOpening,
  patientViewOf,
  type ReferralRowDb,
  scansOf,
  watchEmergencyLater,
} from '../cases';
import { clipsOf } from '../clips';
import { clinicalWordsIn, computeCase, storeInterpretation } from '../interpretations';

/** The higher of asked and proposed stands; lowering needs a reason. */
export function urgencyThatStands(asked: Urgency | null, proposed: Urgency, reason: string): Urgency {
  if (asked === null) return proposed;
  if (urgencyRank[asked] <= urgencyRank[proposed]) return asked;
  return reason.trim() === '' ? proposed : asked;
}

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
  const blockers: SendingPreview['blockers'] = [];
  const nothing =
    clips.length === 0 &&
    waiting.length === 0 &&
    input.measurements.length === 0 &&
    input.observations.length === 0;
  if (nothing) blockers.push({ code: 'NOTHING_TO_READ', field: 'clips', data: {} });
  if (referral.question.trim() === '')
    blockers.push({ code: 'QUESTION_MISSING', field: 'question', data: {} });
  for (const c of clips)
    if (c.mask === 'needs-decision')
      blockers.push({
        code: 'MASK_UNDECIDED',
        field: 'clips',
        data: { number: c.number, fileName: c.fileName ?? '' },
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
  return { referral, agreement, patient, result, clinicalWords: clinicalWordsIn(input), preview };
}

export async function sendReferral(
  tx: ActorTx,
  services: Services,
  actor: Actor,
  ask: { practiceId: string; referralId: string; base: number; identityReason: string | null },
): Promise<{ revision: number }> {
  const where = { practiceId: ask.practiceId, referralId: ask.referralId };
  await storeInterpretation(tx, actor, ask.practiceId, ask.referralId, services.clock.now());
  const p = await prepareSending(tx, services, ask.practiceId, ask.referralId);
  const blocker = p.preview.blockers[0];
  if (blocker && isUnsent(p.referral.state))
    throw new AppError('NOT_READY', { blocker: blocker.code, ...blocker.data }, { field: blocker.field });
  const differs = p.preview.identity.filter((i) => i.verdict === 'differs');
  if (differs.length > 0 && !ask.identityReason)
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
    ask.base,
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
    { urgency: p.preview.urgencyThatStands, identity },
  );
  if (p.preview.urgencyThatStands === 'emergency') await watchEmergencyLater(tx, where);
  await tx.execute(sql`select share_with_group(${ask.practiceId}, ${ask.referralId}, ${groupId})`);
  return { revision: moved.revision };
}
