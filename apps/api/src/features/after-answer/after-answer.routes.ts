import { type Message, routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { serve } from '../../platform/http/route-server';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { findReferral, touchReferral } from '../cases';
import { recordEvent } from '../events';
import { mailPractice } from '../opinions';
import { outcomeOf, rechecksOf, threadOf } from './after-answer.repository';
import { messages, outcomes } from './after-answer.tables';

/** Questions and answers on a referral, what became of the patient, and who is due again. */
export function registerAfterAnswer(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.putMessage, async ({ tx, params, body, actor, onCase }) => {
    if (onCase.groupId === null || onCase.state === 'withdrawn')
      throw new AppError('STATE_CHANGED', { state: onCase.state });
    const made = await tx
      .insert(messages)
      .values({
        practiceId: params.practiceId,
        id: params.messageId,
        groupId: onCase.groupId,
        referralId: params.referralId,
        side: onCase.side,
        text: body.text,
        madeBy: actor.memberId,
        madeByName: actor.name,
      })
      .onConflictDoNothing()
      .returning({ id: messages.id });
    const stored = await findMessage(tx, params, body.text);
    if (made.length > 0) {
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: onCase.groupId,
        referralId: params.referralId,
        kind: 'message.added',
        data: { messageId: params.messageId },
      });
      await touchReferral(tx, params);
      if (onCase.side === 'group') await mailPractice(tx, onCase, 'message', params.messageId);
      else
        await enqueue(
          tx,
          'group.tell',
          { practiceId: params.practiceId, referralId: params.referralId, messageId: params.messageId },
          `tell-group:${params.messageId}`,
        );
    }
    return stored;
  });

  serve(app, services, routes.putOutcome, async ({ tx, params, body, actor }) => {
    const referral = await findReferral(tx, params.practiceId, params.referralId);
    if ((referral.state !== 'answered' && referral.state !== 'closed') || referral.groupId === null)
      throw new AppError('STATE_CHANGED', { state: referral.state });
    const made = await tx
      .insert(outcomes)
      .values({
        practiceId: params.practiceId,
        referralId: params.referralId,
        groupId: referral.groupId,
        answer: body.answer,
        words: body.words,
        madeBy: actor.memberId,
        madeByName: actor.name,
      })
      .onConflictDoNothing()
      .returning({ id: outcomes.referralId });
    const stored = await outcomeOf(tx, params.practiceId, params.referralId);
    if (!stored) throw new AppError('NOT_FOUND');
    if (made.length === 0 && (stored.answer !== body.answer || stored.words !== body.words))
      throw new AppError('STATE_CHANGED', { state: 'outcome given' });
    if (made.length > 0)
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: referral.groupId,
        referralId: params.referralId,
        kind: 'outcome.given',
        data: { answer: body.answer },
      });
    return stored;
  });

  serve(app, services, routes.listRechecks, ({ tx, params }) => rechecksOf(tx, params.practiceId));
}

/** The message as it stands; the same id with other words, or in another referral, is refused. */
async function findMessage(
  tx: ActorTx,
  at: { practiceId: string; referralId: string; messageId: string },
  text: string,
): Promise<Message> {
  const there = (await threadOf(tx, at.practiceId, at.referralId)).find((m) => m.id === at.messageId);
  if (!there || there.text !== text) throw new AppError('ID_IN_USE', {}, { field: 'messageId' });
  return there;
}
