import { routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { learningOf, sendersOf } from './learning.repository';

/** Feedback on scanning: for the person, and for the lead of the readers. Nobody else. */
export function registerLearning(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.myLearning, ({ tx, actor }) => learningOf(tx, actor, null));
  serve(app, services, routes.listSenders, ({ tx, params }) => sendersOf(tx, params.groupId));
  serve(app, services, routes.senderLearning, async ({ tx, params }) => {
    const sender = (await sendersOf(tx, params.groupId)).find((s) => s.memberId === params.memberId);
    if (!sender) throw new AppError('NOT_FOUND');
    return learningOf(tx, sender, params.groupId);
  });
}
