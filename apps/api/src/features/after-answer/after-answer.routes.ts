import { routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { findReferral } from '../cases';
import { recordEvent } from '../events';
import { outcomeOf, rechecksOf } from './after-answer.repository';
import { outcomes } from './after-answer.tables';

/** What became of the patient, and who is due again. */
export function registerAfterAnswer(app: FastifyInstance, services: Services): void {
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
