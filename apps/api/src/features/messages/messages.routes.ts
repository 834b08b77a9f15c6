import { type Message, routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { serve } from '../../platform/http/route-server';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { touchReferral } from '../cases';
import { recordEvent } from '../events';
import { threadOf } from './messages.repository';
import { messages } from './messages.tables';

/** Questions and answers on a referral, mailed to the other side. */
export function registerMessages(app: FastifyInstance, services: Services): void {
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
      if (onCase.side === 'group')
        await enqueue(
          tx,
          'practice.tell',
          {
            practiceId: params.practiceId,
            referralId: params.referralId,
            what: 'message',
            subjectId: params.messageId,
          },
          `tell:message:${params.messageId}`,
        );
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
