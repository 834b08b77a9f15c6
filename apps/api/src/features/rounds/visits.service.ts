import type { Visit, VisitEntry } from '@chordae/contract';
import { and, eq, isNull } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { findPatientRow, findReferral, mergePatch } from '../cases';
import { recordEvent } from '../events';
import { findRound, type VisitDbRow, visitsOf } from './rounds.repository';
import { rounds, roundVisits, scanRequests } from './rounds.tables';

type Member = Actor & { readonly memberId: string };

async function findVisit(
  tx: ActorTx,
  practiceId: string,
  visitId: string,
  memberId: string,
): Promise<VisitDbRow> {
  const row = (
    await tx
      .select()
      .from(roundVisits)
      .where(and(eq(roundVisits.practiceId, practiceId), eq(roundVisits.id, visitId)))
      .for('update')
  )[0];
  // A visit is changed by the person whose round it is on.
  if (!row || row.memberId !== memberId) throw new AppError('NOT_FOUND');
  return row;
}

/** A closed day takes nobody any more, until it is opened again. */
async function openRound(tx: ActorTx, actor: Member, roundId: string): Promise<void> {
  if ((await findRound(tx, actor.memberId, roundId)).closedAt)
    throw new AppError(
      'NOT_READY',
      { what: 'ROUND_CLOSED' },
      { field: 'roundId', message: 'roundId: this round is closed. Open it again to add a patient.' },
    );
}

/** The case must be that patient's own: a scan under the wrong patient is the worst slip of a round. */
async function checkPointers(
  tx: ActorTx,
  practiceId: string,
  to: { patientId: string | null; referralId: string | null },
): Promise<void> {
  if (to.patientId) await findPatientRow(tx, practiceId, to.patientId);
  if (!to.referralId) return;
  const referral = await findReferral(tx, practiceId, to.referralId);
  if (referral.patientId !== to.patientId)
    throw new AppError(
      'FIELD_INVALID',
      {},
      {
        field: 'referralId',
        message: 'referralId: this case belongs to another patient. Choose the patient of this visit again.',
      },
    );
}

/** Puts a patient on a round; the same id again gives what is there. Takes up the request that it came from. */
export async function putVisit(
  tx: ActorTx,
  services: Services,
  actor: Member,
  ask: VisitEntry & { practiceId: string; visitId: string; requestId: string | null },
): Promise<Visit> {
  const round = await findRound(tx, actor.memberId, ask.roundId);
  const { practiceId, visitId, roundId, requestId, patientId, referralId, ...fields } = ask;
  const there = (
    await tx
      .select()
      .from(roundVisits)
      .where(and(eq(roundVisits.practiceId, practiceId), eq(roundVisits.id, visitId)))
  )[0];
  if (there && (there.memberId !== actor.memberId || there.roundId !== roundId))
    throw new AppError('ID_IN_USE', {}, { field: 'visitId' });
  if (!there) {
    await openRound(tx, actor, roundId);
    await checkPointers(tx, practiceId, { patientId, referralId });
    await tx.insert(roundVisits).values({
      practiceId,
      id: visitId,
      memberId: actor.memberId,
      memberName: actor.name,
      roundId,
      requestId,
      patientId,
      referralId,
      fields,
    });
    if (requestId) await takeRequest(tx, services, actor, practiceId, requestId);
    await tx
      .update(rounds)
      .set({ updatedAt: services.clock.now() })
      .where(and(eq(rounds.memberId, actor.memberId), eq(rounds.id, roundId)));
    await recordEvent(tx, actor, {
      practiceId,
      groupId: null,
      referralId: null,
      kind: 'visit.planned',
      data: { visitId, day: round.day },
    });
  }
  const made = (await visitsOf(tx, actor.memberId, roundId)).find((v) => v.id === visitId);
  if (!made) throw new AppError('NOT_FOUND');
  return made;
}

async function takeRequest(
  tx: ActorTx,
  services: Services,
  actor: Member,
  practiceId: string,
  requestId: string,
): Promise<void> {
  const taken = await tx
    .update(scanRequests)
    .set({ takenBy: actor.memberId, takenByName: actor.name, takenAt: services.clock.now() })
    .where(
      and(
        eq(scanRequests.practiceId, practiceId),
        eq(scanRequests.id, requestId),
        isNull(scanRequests.takenAt),
        isNull(scanRequests.withdrawnAt),
      ),
    )
    .returning({ id: scanRequests.id });
  if (taken.length > 0) return;
  const row = (
    await tx
      .select()
      .from(scanRequests)
      .where(and(eq(scanRequests.practiceId, practiceId), eq(scanRequests.id, requestId)))
  )[0];
  if (!row) throw new AppError('NOT_FOUND');
  throw row.takenAt
    ? new AppError(
        'ALREADY_TAKEN',
        { by: row.takenByName ?? '' },
        { message: `This request is on the round of ${row.takenByName ?? 'somebody else'} already.` },
      )
    : new AppError(
        'STATE_CHANGED',
        { state: 'withdrawn' },
        { message: 'The practice has taken this request back.' },
      );
}

/** Changes a visit by fields, with the revision they were seen at. */
export async function patchVisit(
  tx: ActorTx,
  services: Services,
  actor: Member,
  at: { practiceId: string; visitId: string },
  patch: { base: number; bases?: Record<string, number> | undefined; fields: Partial<VisitEntry> },
) {
  const row = await findVisit(tx, at.practiceId, at.visitId, actor.memberId);
  const { patientId: nowPatient, referralId: nowReferral, roundId: nowRound } = row;
  const values = { ...row.fields, patientId: nowPatient, referralId: nowReferral, roundId: nowRound };
  const merged = mergePatch(
    { revision: row.revision, fieldRevisions: row.fieldRevisions, values },
    patch,
    actor.name,
  );
  const applied = Object.keys(merged.accepted);
  if (applied.length > 0) {
    const { patientId, referralId, roundId, ...fields } = { ...values, ...merged.accepted };
    await checkPointers(tx, at.practiceId, { patientId, referralId });
    if (roundId !== nowRound) await openRound(tx, actor, roundId);
    await tx
      .update(roundVisits)
      .set({
        fields,
        patientId,
        referralId,
        roundId,
        revision: merged.revision,
        fieldRevisions: merged.fieldRevisions,
        updatedAt: services.clock.now(),
      })
      .where(and(eq(roundVisits.practiceId, at.practiceId), eq(roundVisits.id, at.visitId)));
  }
  return {
    revision: merged.revision,
    applied,
    conflicts: merged.conflicts,
    stands: merged.stands,
  };
}
