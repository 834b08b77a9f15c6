import {
  type Interpretation,
  type InterpretationInput,
  isWithReaders,
  upgradeInterpretation,
} from '@chordae/contract';
import { CLINICAL_WORDS, caseInput, interpret, urgencyRank } from '@chordae/interpretation';
import { and, desc, eq, sql } from 'drizzle-orm';
import type { Actor, ActorTx } from '../../platform/db/database';
import { uuidv7 } from '../../platform/uuid';
import { findAgreement } from '../accounts';
import {
  dueTime,
  findReferral,
  lockReferral,
  patientViewOf,
  type ReferralRowDb,
  referrals,
  scansOf,
  watchEmergencyLater,
} from '../cases';
import { clipsOf, statementsOf } from '../clips';
import { recordEvent } from '../events';
import { measurementsOf, observationsOf } from '../measurements';
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
    statements: await statementsOf(tx, practiceId, referralId),
  });
  return { input, result: interpret(input) };
}

/** Ticked clinical words: they outrank numbers in the queue. */
export function clinicalWordsIn(input: InterpretationInput): string[] {
  const ticked = new Set<string>(input.observations.filter((o) => o.value === 'yes').map((o) => o.code));
  return CLINICAL_WORDS.filter((code) => ticked.has(code));
}

/**
 * Stores a new interpretation when anything it rests on changed, and keeps the queue's keys in step. An answer that was
 * there before and holds again is put on top instead of being stored twice.
 */
export async function storeInterpretation(
  tx: ActorTx,
  actor: Actor,
  practiceId: string,
  referralId: string,
  now: Date,
): Promise<Interpretation> {
  const referral = await lockReferral(tx, { practiceId, referralId });
  const { input, result } = await computeCase(tx, practiceId, referralId);
  const newest = await newestRow(tx, practiceId, referralId);
  const same =
    newest?.inputHash === result.inputHash &&
    newest.engineVersion === result.engine.version &&
    newest.limitsHash === result.engine.limitsHash;
  if (!same) {
    const values = {
      practiceId,
      id: uuidv7(),
      groupId: referral.groupId,
      referralId,
      result,
      input,
      inputHash: result.inputHash,
      engineVersion: result.engine.version,
      limitsHash: result.engine.limitsHash,
    };
    const key = [
      interpretations.practiceId,
      interpretations.referralId,
      interpretations.inputHash,
      interpretations.engineVersion,
      interpretations.limitsHash,
    ];
    await tx
      .insert(interpretations)
      .values(values)
      .onConflictDoUpdate({ target: key, set: { position: sql`nextval('interpretation_positions')` } });
    await recordEvent(tx, actor, {
      practiceId,
      groupId: referral.groupId,
      referralId,
      kind: 'case.interpreted',
      data: { inputHash: result.inputHash, engine: result.engine.version },
    });
  }
  await keepQueueKeys(tx, actor, referral, { input, result }, now);
  return result;
}

/** What the queue orders by. After sending, a proposal above the one before raises the urgency and may shorten the time; nothing lowers it. */
async function keepQueueKeys(
  tx: ActorTx,
  actor: Actor,
  referral: ReferralRowDb,
  computed: { input: InterpretationInput; result: Interpretation },
  now: Date,
): Promise<void> {
  const { input, result } = computed;
  const where = and(eq(referrals.practiceId, referral.practiceId), eq(referrals.id, referral.id));
  const actNow = result.flags.filter((f) => f.level === 'act-now').map((f) => f.code);
  const keys = { actNow, clinicalWords: clinicalWordsIn(input) };
  const before = referral.urgencyProposed;
  const proposed = result.urgencyProposed;
  const rises =
    isWithReaders(referral.state) &&
    referral.groupId !== null &&
    before !== null &&
    urgencyRank[proposed] < urgencyRank[before];
  if (!rises || referral.groupId === null) {
    await tx.update(referrals).set(keys).where(where);
    return;
  }
  const stands =
    referral.urgency !== null && urgencyRank[referral.urgency] <= urgencyRank[proposed]
      ? referral.urgency
      : proposed;
  const agreement = await findAgreement(tx, referral.practiceId, referral.groupId);
  const soon = dueTime(agreement, stands, now);
  const dueAt = referral.dueAt && referral.dueAt < soon ? referral.dueAt : soon;
  if (stands === 'emergency' && referral.urgency !== 'emergency' && referral.state === 'sent')
    await watchEmergencyLater(tx, { practiceId: referral.practiceId, referralId: referral.id });
  await tx
    .update(referrals)
    .set({ ...keys, urgency: stands, urgencyRank: urgencyRank[stands], urgencyProposed: proposed, dueAt })
    .where(where);
  await recordEvent(tx, actor, {
    practiceId: referral.practiceId,
    groupId: referral.groupId,
    referralId: referral.id,
    kind: 'urgency.raised',
    data: { from: referral.urgency, to: stands },
  });
}

async function newestRow(tx: ActorTx, practiceId: string, referralId: string) {
  const rows = await tx
    .select()
    .from(interpretations)
    .where(and(eq(interpretations.practiceId, practiceId), eq(interpretations.referralId, referralId)))
    .orderBy(desc(interpretations.position))
    .limit(1);
  return rows[0] ?? null;
}

export async function latestInterpretation(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<Interpretation | null> {
  const row = await newestRow(tx, practiceId, referralId);
  return row ? upgradeInterpretation(row.result) : null;
}
