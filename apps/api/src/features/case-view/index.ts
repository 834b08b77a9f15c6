import { routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { viewCase } from './case-view.service';

export function registerCaseView(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.getCase, async ({ tx, actor, onCase }) =>
    viewCase(tx, services, actor, onCase),
  );
}
