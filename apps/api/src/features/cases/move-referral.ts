import { nextState, type ReferralMove } from '@chordae/contract';
import { and, eq, sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import { recordEvent } from '../events';
import { referrals } from './cases.tables';

type Changes = Partial<typeof referrals.$inferInsert>;

/** The only way to change a referral's state: by the published table, at the revision the caller saw. */
export async function moveReferral(
  tx: ActorTx,
  actor: Actor,
  where: { practiceId: string; referralId: string },
  move: ReferralMove,
  base: number,
  changes: Changes = {},
  data: Record<string, unknown> = {},
): Promise<{ revision: number; groupId: string | null; state: string }> {
  const row = await lockReferral(tx, where);
  const to = nextState(row.state, move);
  if (!to) throw new AppError('TRANSITION_REFUSED', { state: row.state, move });
  if (row.revision !== base) throw new AppError('REVISION_STALE', { yours: base, now: row.revision });
  const revision = row.revision + 1;
  const groupId = changes.groupId ?? row.groupId;
  await tx
    .update(referrals)
    .set({ ...changes, state: to, revision, updatedAt: sql`app_now()` as never })
    .where(at(where));
  await recordEvent(tx, actor, {
    practiceId: where.practiceId,
    groupId,
    referralId: where.referralId,
    kind: move,
    data: { from: row.state, to, ...data },
  });
  return { revision, groupId, state: to };
}

export async function lockReferral(tx: ActorTx, where: { practiceId: string; referralId: string }) {
  const row = (await tx.select().from(referrals).where(at(where)).for('update'))[0];
  if (!row) throw new AppError('NOT_FOUND');
  return row;
}

/** Another reader for an open referral, its state unchanged; at the revision that the caller saw. */
export async function setReader(
  tx: ActorTx,
  where: { practiceId: string; referralId: string },
  base: number,
  reader: { id: string; name: string },
): Promise<number> {
  const row = await lockReferral(tx, where);
  if (row.revision !== base) throw new AppError('REVISION_STALE', { yours: base, now: row.revision });
  const revision = row.revision + 1;
  await tx
    .update(referrals)
    .set({ readerId: reader.id, readerName: reader.name, revision, updatedAt: sql`app_now()` as never })
    .where(at(where));
  return revision;
}

/** Marks that something of a referral changed, without moving it. */
export async function touchReferral(
  tx: ActorTx,
  where: { practiceId: string; referralId: string },
): Promise<void> {
  await tx
    .update(referrals)
    .set({ updatedAt: sql`app_now()` as never })
    .where(at(where));
}

function at(where: { practiceId: string; referralId: string }) {
  return and(eq(referrals.practiceId, where.practiceId), eq(referrals.id, where.referralId));
}
