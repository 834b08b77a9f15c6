import { routes } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { findPatientRow, loadKeeper, patientFamily, patientRoot, toPatientRecord, weightsOf } from '../cases';
import { mergePatients, mergesOf, undoMerge } from './merges';
import { pairsOf, patientRows } from './patient-rows';
import { timelineOf } from './timeline';

/** A practice's patients as they are looked for, read and put together. */
export function registerPatientWork(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.listPatientRows, ({ tx, params, query }) =>
    patientRows(tx, params.practiceId, query.find),
  );

  serve(app, services, routes.listLikelyPairs, ({ tx, params }) => pairsOf(tx, params.practiceId));

  serve(app, services, routes.getPatientPage, async ({ tx, params }) => {
    const { practiceId } = params;
    const asked = await findPatientRow(tx, practiceId, params.patientId);
    const id = await patientRoot(tx, practiceId, asked.id);
    const row = id === asked.id ? asked : await findPatientRow(tx, practiceId, id);
    const family = await patientFamily(tx, practiceId, id);
    return {
      patient: toPatientRecord(row, await weightsOf(tx, practiceId, id)),
      keeper: await loadKeeper(tx, practiceId, id),
      askedFor: id === asked.id ? null : { id: asked.id, number: asked.number, name: asked.name },
      merges: await mergesOf(tx, practiceId, family),
      timeline: await timelineOf(tx, practiceId, id, family),
      likely: await pairsOf(tx, practiceId, id),
    };
  });

  serve(app, services, routes.mergePatients, async ({ tx, params, body, actor }) => ({
    patientId: await mergePatients(tx, actor, { ...params, ...body }),
  }));

  serve(app, services, routes.undoMerge, async ({ tx, params, actor }) => ({
    patientId: await undoMerge(tx, actor, params),
  }));
}
