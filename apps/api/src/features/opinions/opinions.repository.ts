import {
  type FlagAnswer,
  type InterimAnswer,
  type OpinionDraft,
  type RescanWish,
  upgradeOpinionText,
} from '@chordae/contract';
import { and, asc, eq, isNull, ne } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { flagAnswers, interimAnswers, opinionDrafts, readings, rescanWishes } from './opinions.tables';

export async function draftRow(tx: ActorTx, practiceId: string, referralId: string) {
  return (
    (
      await tx
        .select()
        .from(opinionDrafts)
        .where(and(eq(opinionDrafts.practiceId, practiceId), eq(opinionDrafts.referralId, referralId)))
    )[0] ?? null
  );
}

export async function loadDraft(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<OpinionDraft | null> {
  const row = await draftRow(tx, practiceId, referralId);
  return row
    ? {
        ...upgradeOpinionText(row.fields),
        id: row.id,
        revision: row.revision,
        updatedAt: row.updatedAt.toISOString(),
      }
    : null;
}

export async function openReading(tx: ActorTx, practiceId: string, referralId: string) {
  return (
    (
      await tx
        .select()
        .from(readings)
        .where(
          and(
            eq(readings.practiceId, practiceId),
            eq(readings.referralId, referralId),
            ne(readings.kind, 'second'),
            isNull(readings.endedAt),
          ),
        )
    )[0] ?? null
  );
}

export async function interimsOf(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<InterimAnswer[]> {
  const rows = await tx
    .select()
    .from(interimAnswers)
    .where(and(eq(interimAnswers.practiceId, practiceId), eq(interimAnswers.referralId, referralId)))
    .orderBy(asc(interimAnswers.madeAt));
  return rows.map((r) => ({
    id: r.id,
    text: r.text,
    signerName: r.madeByName,
    at: r.madeAt.toISOString(),
    readBackAt: r.readBackAt?.toISOString() ?? null,
    readBackBy: r.readBackBy,
  }));
}

export async function wishesOf(tx: ActorTx, practiceId: string, referralId: string): Promise<RescanWish[]> {
  const rows = await tx
    .select()
    .from(rescanWishes)
    .where(and(eq(rescanWishes.practiceId, practiceId), eq(rescanWishes.referralId, referralId)))
    .orderBy(asc(rescanWishes.madeAt));
  return rows.map((r) => ({
    id: r.id,
    views: r.views,
    text: r.text,
    askedBy: r.madeByName,
    at: r.madeAt.toISOString(),
    answeredAt: r.answeredAt?.toISOString() ?? null,
  }));
}

/** The newest answer per flag stands; the older ones stay in the table. */
export async function flagAnswersOf(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<FlagAnswer[]> {
  const rows = await tx
    .select()
    .from(flagAnswers)
    .where(and(eq(flagAnswers.practiceId, practiceId), eq(flagAnswers.referralId, referralId)))
    .orderBy(asc(flagAnswers.madeAt));
  const newest = new Map(
    rows.map((r) => [
      r.flagKey,
      {
        flagKey: r.flagKey,
        answer: r.answer,
        reason: r.reason,
        by: r.madeByName,
        at: r.madeAt.toISOString(),
      },
    ]),
  );
  return [...newest.values()];
}
