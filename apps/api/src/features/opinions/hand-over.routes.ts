import { routes } from '@chordae/contract';
import { and, eq, isNull, ne } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import { type CaseRef, rolesIn, serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { uuidv7 } from '../../platform/uuid';
import { peopleOfGroup } from '../accounts';
import { groupOf, lockReferral, moveReferral, setReader } from '../cases';
import { recordEvent } from '../events';
import { openReading } from './opinions.repository';
import { readings } from './opinions.tables';

type Member = Actor & { readonly memberId: string };

/** A referral changes hands. What was written belongs to the referral, so it goes along by itself. */
export function registerHandOver(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.handOver, async ({ tx, params, body, actor, onCase }) => {
    const groupId = groupOf(onCase);
    const reading = await openReading(tx, params.practiceId, params.referralId);
    const isLead = rolesIn(actor, groupId).includes('lead');
    if (reading?.memberId !== actor.memberId && !isLead)
      throw new AppError('ALREADY_TAKEN', { by: reading?.memberName ?? '' });
    const to = (await peopleOfGroup(tx, groupId)).find((p) => p.memberId === body.toMemberId);
    if (!to)
      throw new AppError(
        'FIELD_INVALID',
        {},
        { field: 'toMemberId', message: 'toMemberId: nobody with this id reads in this group.' },
      );
    if (to.memberId === reading?.memberId)
      throw new AppError(
        'FIELD_INVALID',
        {},
        { field: 'toMemberId', message: `toMemberId: ${to.name} reads it already.` },
      );
    const moved = await moveReferral(
      tx,
      actor,
      params,
      'referral.handed-over',
      body.base,
      {
        readerId: null,
        readerName: null,
        clockStoppedAt: null,
        handedTo: to.memberId,
        handedToName: to.name,
        handedByName: actor.name,
        handOverReason: body.reason,
      },
      { to: to.name, reason: body.reason },
    );
    await endReading(tx, services, params, 'handed-over');
    return { revision: moved.revision };
  });

  serve(app, services, routes.takeOver, async ({ tx, params, body, actor, onCase }) => {
    const groupId = groupOf(onCase);
    const reading = await readingToTakeOver(tx, actor, onCase);
    const revision = await setReader(tx, params, body.base, { id: actor.memberId, name: actor.name });
    await endReading(tx, services, params, 'taken-over');
    await tx.insert(readings).values({
      practiceId: params.practiceId,
      id: uuidv7(),
      groupId,
      referralId: params.referralId,
      memberId: actor.memberId,
      memberName: actor.name,
      kind: 'taken-over',
    });
    await recordEvent(tx, actor, {
      practiceId: params.practiceId,
      groupId,
      referralId: params.referralId,
      kind: 'referral.taken-over',
      data: { from: reading.memberName, reason: body.reason },
    });
    return { revision };
  });
}

async function readingToTakeOver(tx: ActorTx, actor: Member, onCase: CaseRef) {
  const row = await lockReferral(tx, { practiceId: onCase.practiceId, referralId: onCase.referralId });
  const reading = await openReading(tx, onCase.practiceId, onCase.referralId);
  if (!reading || (row.state !== 'reading' && row.state !== 'images-wanted'))
    throw new AppError('STATE_CHANGED', { state: row.state });
  if (reading.memberId === actor.memberId) throw new AppError('ALREADY_TAKEN', { by: actor.name });
  return reading;
}

export async function endReading(
  tx: ActorTx,
  services: Services,
  at: { practiceId: string; referralId: string },
  how: 'handed-over' | 'taken-over' | 'put-back',
): Promise<void> {
  await tx
    .update(readings)
    .set({ endedAt: services.clock.now(), endedHow: how })
    .where(
      and(
        eq(readings.practiceId, at.practiceId),
        eq(readings.referralId, at.referralId),
        ne(readings.kind, 'second'),
        isNull(readings.endedAt),
      ),
    );
}
