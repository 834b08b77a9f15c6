import { routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { findClip } from '../clips';
import { findAssessment } from './assessments.repository';

export function registerAssessments(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.clipAssessment, async ({ tx, params }) => {
    const clip = await findClip(tx, params.practiceId, params.clipId);
    const found =
      clip.referralId === params.referralId
        ? await findAssessment(tx, params.practiceId, params.clipId)
        : null;
    if (!found) throw new AppError('NOT_FOUND');
    return found;
  });
}
