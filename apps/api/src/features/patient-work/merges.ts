import { type StandingMerge, withReadersStates } from '@chordae/contract';
import { type MergeRefusal, sayMergeRefusal, speciesNames } from '@chordae/words';
import { and, asc, eq, inArray, isNull, sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import { keepers, patients, referrals, reinterpretOpenCases } from '../cases';
import { recordEvent } from '../events';
import { patientMerges } from './patient-work.tables';

type Member = Actor & { readonly memberId: string };
type PatientRow = typeof patients.$inferSelect;

export interface MergeAsk {
  readonly practiceId: string;
  readonly mergeId: string;
  readonly fromId: string;
  readonly intoId: string;
  readonly reason: string;
}

function refuse(refusal: MergeRefusal, field: string): never {
  throw new AppError('STATE_CHANGED', { why: refusal.why }, { field, message: sayMergeRefusal(refusal) });
}

/**
 * Puts one patient away under another. Only `merged_into_id` changes: scans, weights, referrals and the keeper keep the id
 * they were made with, and every reading follows the merge. The same id again is the same merge.
 */
export async function mergePatients(tx: ActorTx, actor: Member, ask: MergeAsk): Promise<string> {
  const before = await findMerge(tx, ask.practiceId, ask.mergeId);
  if (before) {
    if (before.fromId !== ask.fromId || before.intoId !== ask.intoId)
      throw new AppError('ID_IN_USE', {}, { field: 'mergeId' });
    return before.intoId;
  }
  if (ask.fromId === ask.intoId) refuse({ why: 'same-patient' }, 'intoId');
  const { from, into } = await lockBoth(tx, ask);
  // Whichever was merged before says so; that also keeps merges from going round in a circle.
  if (from.mergedIntoId !== null) refuse({ why: 'already-merged', patient: from }, 'fromId');
  if (into.mergedIntoId !== null) refuse({ why: 'already-merged', patient: into }, 'intoId');
  if (from.species !== into.species)
    refuse(
      { why: 'other-species', from: speciesNames[from.species], into: speciesNames[into.species] },
      'fromId',
    );
  await refuseWithReaders(tx, from, 'fromId');
  await setMerged(tx, from, into.id);
  await tx.insert(patientMerges).values({
    practiceId: ask.practiceId,
    id: ask.mergeId,
    fromId: ask.fromId,
    intoId: ask.intoId,
    reason: ask.reason,
    madeBy: actor.memberId,
    madeByName: actor.name,
  });
  await tell(tx, actor, ask.practiceId, 'patient.merged', {
    mergeId: ask.mergeId,
    fromId: from.id,
    intoId: into.id,
  });
  // Weights and name of the one that stands now hold for the open cases of both.
  await reinterpretOpenCases(tx, actor, ask.practiceId, into.id);
  return into.id;
}

/** Both stand again, each with what was made under its own id; what came since the merge stays with the one that stood. */
export async function undoMerge(
  tx: ActorTx,
  actor: Member,
  at: { practiceId: string; mergeId: string },
): Promise<string> {
  const merge = await findMerge(tx, at.practiceId, at.mergeId);
  if (!merge) throw new AppError('NOT_FOUND');
  const { from, into } = await lockBoth(tx, { ...at, fromId: merge.fromId, intoId: merge.intoId });
  if (merge.undoneAt !== null || from.mergedIntoId !== into.id) refuse({ why: 'undone-already' }, 'mergeId');
  if (into.mergedIntoId !== null) refuse({ why: 'merged-on', patient: into }, 'mergeId');
  await refuseWithReaders(tx, from, 'mergeId');
  await setMerged(tx, from, null);
  await tx
    .update(patientMerges)
    .set({ undoneAt: sql`app_now()` as never, undoneByName: actor.name })
    .where(and(eq(patientMerges.practiceId, at.practiceId), eq(patientMerges.id, at.mergeId)));
  await tell(tx, actor, at.practiceId, 'patient.merge-undone', {
    mergeId: at.mergeId,
    fromId: from.id,
    intoId: into.id,
  });
  for (const id of [from.id, into.id]) await reinterpretOpenCases(tx, actor, at.practiceId, id);
  return from.id;
}

/** Merges that stand anywhere in the family of the one that stands, oldest first. */
export async function mergesOf(
  tx: ActorTx,
  practiceId: string,
  family: readonly string[],
): Promise<StandingMerge[]> {
  const rows = await tx
    .select({ m: patientMerges, p: patients, k: keepers })
    .from(patientMerges)
    .innerJoin(
      patients,
      and(eq(patients.practiceId, patientMerges.practiceId), eq(patients.id, patientMerges.fromId)),
    )
    .leftJoin(keepers, and(eq(keepers.practiceId, patients.practiceId), eq(keepers.patientId, patients.id)))
    .where(
      and(
        eq(patientMerges.practiceId, practiceId),
        inArray(patientMerges.fromId, [...family]),
        isNull(patientMerges.undoneAt),
      ),
    )
    .orderBy(asc(patientMerges.madeAt));
  const all = await tx
    .select({ id: patients.id, number: patients.number, name: patients.name })
    .from(patients)
    .where(and(eq(patients.practiceId, practiceId), inArray(patients.id, [...family])));
  const byId = new Map(all.map((p) => [p.id, p]));
  return rows.flatMap(({ m, p, k }) => {
    const into = byId.get(m.intoId);
    if (!into) return [];
    return [
      {
        mergeId: m.id,
        from: { id: p.id, number: p.number, name: p.name },
        keeper: k ? { name: k.name, phone: k.phone, email: k.email } : null,
        chip: p.chip,
        reason: m.reason,
        by: m.madeByName,
        at: m.madeAt.toISOString(),
        into,
      },
    ];
  });
}

async function findMerge(tx: ActorTx, practiceId: string, mergeId: string) {
  const rows = await tx
    .select()
    .from(patientMerges)
    .where(and(eq(patientMerges.practiceId, practiceId), eq(patientMerges.id, mergeId)));
  return rows[0] ?? null;
}

/** Locked in the order of their ids, so that two people who merge the same pair the other way round wait for each other. */
async function lockBoth(
  tx: ActorTx,
  at: { practiceId: string; fromId: string; intoId: string },
): Promise<{ from: PatientRow; into: PatientRow }> {
  const rows = await tx
    .select()
    .from(patients)
    .where(and(eq(patients.practiceId, at.practiceId), inArray(patients.id, [at.fromId, at.intoId])))
    .orderBy(asc(patients.id))
    .for('update');
  const from = rows.find((r) => r.id === at.fromId);
  const into = rows.find((r) => r.id === at.intoId);
  if (!from || !into) throw new AppError('NOT_FOUND');
  return { from, into };
}

/** A patient that lies on a reader's desk keeps its name and number until the answer. */
async function refuseWithReaders(tx: ActorTx, patient: PatientRow, field: string): Promise<void> {
  const open = await tx
    .select({ number: referrals.number })
    .from(referrals)
    .where(
      and(
        eq(referrals.practiceId, patient.practiceId),
        inArray(referrals.patientId, await belowOf(tx, patient)),
        inArray(referrals.state, [...withReadersStates]),
      ),
    )
    .orderBy(asc(referrals.number))
    .for('update');
  const first = open[0];
  if (first) refuse({ why: 'with-readers', patient, referralNumber: first.number }, field);
}

/** The patient and all that was merged into it, whether it stands itself or not. */
async function belowOf(tx: ActorTx, patient: PatientRow): Promise<string[]> {
  const rows = await tx.execute<{ id: string }>(sql`
    with recursive below as (
      select ${patient.id}::uuid as id
      union select p.id from below b join patients p on p.practice_id = ${patient.practiceId} and p.merged_into_id = b.id)
    select id from below`);
  return rows.map((r) => r.id);
}

async function setMerged(tx: ActorTx, patient: PatientRow, intoId: string | null): Promise<void> {
  await tx
    .update(patients)
    .set({ mergedIntoId: intoId, updatedAt: sql`app_now()` as never })
    .where(and(eq(patients.practiceId, patient.practiceId), eq(patients.id, patient.id)));
}

async function tell(
  tx: ActorTx,
  actor: Member,
  practiceId: string,
  kind: string,
  data: Record<string, unknown>,
): Promise<void> {
  await recordEvent(tx, actor, { practiceId, groupId: null, referralId: null, kind, data });
}
