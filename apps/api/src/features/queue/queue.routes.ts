import { routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { answerWish } from './answer-wish';
import { readQueue } from './queue.service';
import { prepareSending, sendReferral } from './sending.service';

export function registerQueue(app: FastifyInstance, services: Services): void {
  serve(
    app,
    services,
    routes.previewSending,
    async ({ tx, params }) =>
      (await prepareSending(tx, services, params.practiceId, params.referralId)).preview,
  );
  serve(app, services, routes.sendReferral, async ({ tx, params, body, actor }) =>
    sendReferral(tx, services, actor, { ...params, ...body }),
  );
  serve(app, services, routes.queue, async ({ tx, params, query, actor }) =>
    readQueue(tx, services, params.groupId, query.scope, actor.memberId),
  );
  serve(app, services, routes.imagesSent, async ({ tx, params, body, actor }) =>
    answerWish(tx, services, actor, { ...params, ...body }),
  );
}
