import { routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { endMembership, practicePage, setParticulars } from './practice-page.service';

/** A practice as its people see it: its papers, its people, its agreements. */
export function registerPracticePage(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.getPracticePage, ({ tx, params }) => practicePage(tx, params.practiceId));

  serve(app, services, routes.putPracticeParticulars, async ({ tx, params, body, actor }) => {
    await setParticulars(tx, actor, params.practiceId, body);
    return practicePage(tx, params.practiceId);
  });

  serve(app, services, routes.endMembership, async ({ tx, params, actor }) => ({
    ended: await endMembership(tx, actor, params),
  }));
}
