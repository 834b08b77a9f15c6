import type { Interpretation, InterpretationInput } from '@chordae/contract';
import { CLINICAL_WORDS, interpret } from '@chordae/interpretation';
import { and, desc, eq } from 'drizzle-orm';
import type { Actor, ActorTx } from '../../platform/db/database';
import { uuidv7 } from '../../platform/uuid';
import { findReferral, lockReferral, patientViewOf, referrals, scansOf } from '../cases';
import { clipsOf } from '../clips';
import { recordEvent } from '../events';
import { measurementsOf, observationsOf } from '../measurements';
import { caseInput } from './case-input';
import { interpretations } from './interpretations.tables';

/** Reads a case and computes; stores nothing. */
export async function computeCase(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<{ input: InterpretationInput; result: Interpretation }> {
  const referral = await findReferral(tx, practiceId, referralId);
  const scans = await scansOf(tx, practiceId, referralId);
  const patient =
    referral.patientSent ??
    (await patientViewOf(tx, practiceId, referral.patientId, scans[0]?.scannedOn ?? ''));
  const input = caseInput({
    patient,
    plan: referral.plan,
    urgencyAsked: referral.urgencyAsked,
    scans,
    measurements: await measurementsOf(tx, practiceId, referralId),
    observations: await observationsOf(tx, practiceId, referralId),
    clips: await clipsOf(tx, practiceId, referralId),
  });
  return { input, result: interpret(input) };
}

/** Ticked clinical words: they outrank numbers in the queue. */
export function clinicalWordsIn(input: InterpretationInput): string[] {
  const ticked = new Set<string>(input.observations.filter((o) => o.value === 'yes').map((o) => o.code));
  return CLINICAL_WORDS.filter((code) => ticked.has(code));
}

/** Stores a new interpretation when anything it rests on changed, and keeps the queue's keys in step: urgency only rises by itself. */
export async function storeInterpretation(
  tx: ActorTx,
  actor: Actor,
  practiceId: string,
  referralId: string,
): Promise<Interpretation> {
  const referral = await lockReferral(tx, { practiceId, referralId });
  const { input, result } = await computeCase(tx, practiceId, referralId);
  const made = await tx
    .insert(interpretations)
    .values({
      practiceId,
      id: uuidv7(),
      groupId: referral.groupId,
      referralId,
      result,
      input,
      inputHash: result.inputHash,
      engineVersion: result.engine.version,
      limitsHash: result.engine.limitsHash,
    })
    .onConflictDoNothing()
    .returning({ id: interpretations.id });
  const actNow = result.flags.filter((f) => f.level === 'act-now').map((f) => f.code);
  await tx
    .update(referrals)
    .set({ actNow, clinicalWords: clinicalWordsIn(input) })
    .where(and(eq(referrals.practiceId, practiceId), eq(referrals.id, referralId)));
  if (made.length > 0)
    await recordEvent(tx, actor, {
      practiceId,
      groupId: referral.groupId,
      referralId,
      kind: 'case.interpreted',
      data: { inputHash: result.inputHash, engine: result.engine.version },
    });
  return result;
}

export async function latestInterpretation(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<Interpretation | null> {
  const row = (
    await tx
      .select({ result: interpretations.result })
      .from(interpretations)
      .where(and(eq(interpretations.practiceId, practiceId), eq(interpretations.referralId, referralId)))
      .orderBy(desc(interpretations.madeAt), desc(interpretations.id))
      .limit(1)
  )[0];
  return row?.result ?? null;
}
