import { routes } from '@chordae/contract';
import { sayMergedElsewhere } from '@chordae/words';
import { and, eq } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { recordEvent } from '../events';
import { patients, weights } from './cases.tables';
import { mergePatch } from './field-patch';
import {
  findPatientRow,
  insertPatient,
  loadKeeper,
  loadPatient,
  patientRoot,
  saveKeeper,
  searchPatients,
} from './patients.repository';
import { reinterpretOpenCases } from './referrals.repository';

export function registerPatients(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.listPatients, async ({ tx, params, query }) =>
    searchPatients(tx, params.practiceId, query.find),
  );

  serve(app, services, routes.getPatient, async ({ tx, params }) => ({
    ...(await loadPatient(tx, params.practiceId, params.patientId)),
    keeper: await loadKeeper(tx, params.practiceId, params.patientId),
  }));

  serve(app, services, routes.putPatient, async ({ tx, params, body, actor }) => {
    const created = await insertPatient(tx, params.practiceId, params.patientId, body, actor.memberId);
    if (created)
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: null,
        referralId: null,
        kind: 'patient.created',
        data: { patientId: params.patientId },
      });
    return loadPatient(tx, params.practiceId, params.patientId);
  });

  serve(app, services, routes.patchPatient, async ({ tx, params, body, actor }) => {
    const key = and(eq(patients.practiceId, params.practiceId), eq(patients.id, params.patientId));
    await tx.select({ id: patients.id }).from(patients).where(key).for('update');
    const row = await findPatientRow(tx, params.practiceId, params.patientId);
    if (row.mergedIntoId !== null) {
      const stands = await loadPatient(
        tx,
        params.practiceId,
        await patientRoot(tx, params.practiceId, row.id),
      );
      throw new AppError(
        'STATE_CHANGED',
        { mergedInto: stands.id },
        {
          field: 'patientId',
          message: sayMergedElsewhere(row, stands),
        },
      );
    }
    const merged = mergePatch(
      { revision: row.revision, fieldRevisions: row.fieldRevisions, values: row },
      body,
      actor.name,
    );
    const applied = Object.keys(merged.accepted);
    if (applied.length > 0) {
      await tx
        .update(patients)
        .set({
          ...merged.accepted,
          revision: merged.revision,
          fieldRevisions: merged.fieldRevisions,
          updatedAt: services.clock.now(),
        })
        .where(key);
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: null,
        referralId: null,
        kind: 'patient.edited',
        data: { patientId: params.patientId, fields: applied },
      });
      await reinterpretOpenCases(tx, actor, params.practiceId, params.patientId);
    }
    return { revision: merged.revision, applied, conflicts: merged.conflicts, stands: merged.stands };
  });

  serve(app, services, routes.putKeeper, async ({ tx, params, body, actor }) => {
    await findPatientRow(tx, params.practiceId, params.patientId);
    await saveKeeper(tx, params.practiceId, params.patientId, body);
    await recordEvent(tx, actor, {
      practiceId: params.practiceId,
      groupId: null,
      referralId: null,
      kind: 'keeper.edited',
      data: { patientId: params.patientId },
    });
    return body;
  });

  serve(app, services, routes.putWeight, async ({ tx, params, body, actor }) => {
    await findPatientRow(tx, params.practiceId, params.patientId);
    const values = {
      ...body,
      practiceId: params.practiceId,
      id: params.weightId,
      patientId: params.patientId,
      createdBy: actor.memberId,
    };
    const made = await tx.insert(weights).values(values).onConflictDoNothing().returning({ id: weights.id });
    if (made.length > 0) {
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: null,
        referralId: null,
        kind: 'weight.added',
        data: { patientId: params.patientId, weightKg: body.weightKg, guessed: body.guessed },
      });
      await reinterpretOpenCases(tx, actor, params.practiceId, params.patientId);
    } else {
      // A repeated request says the same; another weight under a used id would be lost in silence.
      const there = (
        await tx
          .select()
          .from(weights)
          .where(and(eq(weights.practiceId, params.practiceId), eq(weights.id, params.weightId)))
      )[0];
      if (
        there?.patientId !== params.patientId ||
        there.weightKg !== body.weightKg ||
        there.guessed !== body.guessed ||
        there.weighedOn !== body.weighedOn
      )
        throw new AppError('ID_IN_USE', {}, { field: 'weightId' });
    }
    return { id: params.weightId, ...body };
  });
}
