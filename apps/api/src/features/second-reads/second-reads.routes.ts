import { routes, type SecondReadText } from '@chordae/contract';
import { and, eq, sql } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { type CaseRef, serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { confirmPassword } from '../accounts';
import { findReferral, groupOf, mergePatch } from '../cases';
import { recordEvent } from '../events';
import { secondReadRow, toSecondRead } from './second-reads.repository';
import { secondReads } from './second-reads.tables';

const EMPTY: SecondReadText = { findings: {}, conclusion: '', stage: '', urgency: null, values: {} };

/** A second reader reads blind; the lead sees both once both are signed; the practice sees neither. */
export function registerSecondReads(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.startSecondRead, async ({ tx, params, actor, onCase }) => {
    const groupId = groupOf(onCase);
    const there = await secondReadRow(tx, params.practiceId, params.referralId);
    if (there) {
      if (there.id === params.secondId && there.memberId === actor.memberId) return toSecondRead(there);
      throw new AppError('ALREADY_TAKEN', { by: there.memberName });
    }
    const referral = await findReferral(tx, params.practiceId, params.referralId);
    if (!['sent', 'reading', 'images-wanted', 'answered', 'closed'].includes(referral.state))
      throw new AppError('STATE_CHANGED', { state: referral.state });
    if (await knowsTheFirst(tx, onCase, actor.memberId))
      throw new AppError('NOT_READY', { blocker: 'NOT_BLIND' }, { field: 'secondId' });
    await tx.insert(secondReads).values({
      practiceId: params.practiceId,
      id: params.secondId,
      groupId,
      referralId: params.referralId,
      memberId: actor.memberId,
      memberName: actor.name,
      fields: EMPTY,
    });
    await note(tx, actor, onCase, 'second-read.started');
    return toSecondRead(await own(tx, params, actor.memberId));
  });

  serve(app, services, routes.patchSecondRead, async ({ tx, params, body, actor }) => {
    const row = await own(tx, params, actor.memberId, true);
    if (row.signedAt) throw new AppError('STATE_CHANGED', { state: 'signed' });
    const merged = mergePatch(
      { revision: row.revision, fieldRevisions: row.fieldRevisions, values: row.fields },
      body,
      actor.name,
    );
    const applied = Object.keys(merged.accepted);
    if (applied.length > 0)
      await tx
        .update(secondReads)
        .set({
          fields: { ...row.fields, ...merged.accepted } as SecondReadText,
          revision: merged.revision,
          fieldRevisions: merged.fieldRevisions,
        })
        .where(at(params));
    return { revision: merged.revision, applied, conflicts: merged.conflicts, stands: merged.stands };
  });

  serve(app, services, routes.signSecondRead, async ({ tx, params, body, actor, onCase }) => {
    const row = await own(tx, params, actor.memberId, true);
    if (row.signedAt) return toSecondRead(row);
    await confirmPassword(tx, actor, body.password);
    if (row.revision !== body.base)
      throw new AppError('REVISION_STALE', { yours: body.base, now: row.revision });
    if (row.fields.conclusion.trim() === '')
      throw new AppError(
        'FIELD_INVALID',
        {},
        {
          field: 'conclusion',
          message: 'conclusion: a second read needs a conclusion before it can be signed.',
        },
      );
    await tx.update(secondReads).set({ signedAt: services.clock.now() }).where(at(params));
    await note(tx, actor, onCase, 'second-read.signed');
    return toSecondRead(await own(tx, params, actor.memberId));
  });
}

/** Who read it first, or opened it since somebody began to read, cannot read it blind. */
async function knowsTheFirst(tx: ActorTx, onCase: CaseRef, memberId: string): Promise<boolean> {
  const { practiceId, referralId } = onCase;
  const read = await tx.execute(sql`
    select 1 from readings where practice_id = ${practiceId} and referral_id = ${referralId} and member_id = ${memberId} limit 1`);
  if (read.length > 0) return true;
  const looked = await tx.execute(sql`
    select 1 from events e
     where e.practice_id = ${practiceId} and e.referral_id = ${referralId} and e.kind = 'case.opened' and e.actor_id = ${memberId}
       and e.at >= (select min(r.started_at) from readings r
                     where r.practice_id = ${practiceId} and r.referral_id = ${referralId} and r.kind <> 'second') limit 1`);
  return looked.length > 0;
}

const at = (p: { practiceId: string; secondId: string }) =>
  and(eq(secondReads.practiceId, p.practiceId), eq(secondReads.id, p.secondId));

async function own(
  tx: ActorTx,
  p: { practiceId: string; referralId: string; secondId: string },
  memberId: string,
  lock = false,
) {
  const query = tx.select().from(secondReads).where(at(p));
  const row = (lock ? await query.for('update') : await query)[0];
  if (!row || row.referralId !== p.referralId || row.memberId !== memberId) throw new AppError('NOT_FOUND');
  return row;
}

async function note(
  tx: ActorTx,
  actor: Parameters<typeof recordEvent>[1],
  onCase: CaseRef,
  kind: string,
): Promise<void> {
  await recordEvent(tx, actor, {
    practiceId: onCase.practiceId,
    groupId: onCase.groupId,
    referralId: onCase.referralId,
    kind,
  });
}
