import { routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { earlierScans } from './earlier-scans';
import { indexValues } from './index-values';

export function registerInterpretations(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.earlierScans, async ({ tx, params }) =>
    earlierScans(tx, params.practiceId, params.referralId),
  );
  serve(app, services, routes.indexValues, async ({ tx, params, query }) =>
    indexValues(tx, params.practiceId, query.species, query.index),
  );
}
