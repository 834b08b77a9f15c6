import { isVisitDone, routes, type ScanRequest } from '@chordae/contract';
import { and, desc, eq, isNull, or, sql } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { findPatientRow, mergePatch } from '../cases';
import { recordEvent } from '../events';
import { findRound, findServed, listRounds, loadRound, textOf, visitsOf } from './rounds.repository';
import { rounds, scanRequests } from './rounds.tables';
import { patchVisit, putVisit } from './visits.service';

/** A sonographer's day, and what practices ask to be scanned on it. */
export function registerRounds(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.listRounds, ({ tx, actor }) => listRounds(tx, actor));
  serve(app, services, routes.getRound, ({ tx, actor, params }) =>
    loadRound(tx, actor.memberId, params.roundId),
  );
  serve(app, services, routes.findServed, ({ tx, actor, query }) => findServed(tx, actor, query.find));

  serve(app, services, routes.putRound, async ({ tx, actor, params, body }) => {
    const here = actor.memberships.filter((m) => m.practiceId !== null);
    if (here.length === 0) throw new AppError('NOT_FOUND');
    if (here.every((m) => m.role === 'manager'))
      throw new AppError('ROLE_MISSING', { needs: 'referring-vet, sonographer' });
    await tx
      .insert(rounds)
      .values({ memberId: actor.memberId, id: params.roundId, day: body.day, fields: { title: body.title } })
      .onConflictDoNothing();
    return { revision: (await findRound(tx, actor.memberId, params.roundId)).revision };
  });

  serve(app, services, routes.patchRound, async ({ tx, actor, params, body }) => {
    const key = and(eq(rounds.memberId, actor.memberId), eq(rounds.id, params.roundId));
    await tx.select({ id: rounds.id }).from(rounds).where(key).for('update');
    const row = await findRound(tx, actor.memberId, params.roundId);
    const values = { ...textOf(row) };
    const merged = mergePatch(
      { revision: row.revision, fieldRevisions: row.fieldRevisions, values },
      body,
      actor.name,
    );
    const applied = Object.keys(merged.accepted);
    if (applied.length > 0)
      await tx
        .update(rounds)
        .set({
          fields: { ...values, ...merged.accepted },
          revision: merged.revision,
          fieldRevisions: merged.fieldRevisions,
          updatedAt: services.clock.now(),
        })
        .where(key);
    return { revision: merged.revision, applied, conflicts: merged.conflicts, stands: merged.stands };
  });

  serve(app, services, routes.closeRound, async ({ tx, actor, params, body }) => {
    const key = and(eq(rounds.memberId, actor.memberId), eq(rounds.id, params.roundId));
    await tx.select({ id: rounds.id }).from(rounds).where(key).for('update');
    const row = await findRound(tx, actor.memberId, params.roundId);
    if ((row.closedAt === null) === body.open) return { revision: row.revision };
    if (!body.open) {
      const open = (await visitsOf(tx, actor.memberId, params.roundId)).filter((v) => !isVisitDone(v));
      if (open.length > 0)
        throw new AppError(
          'NOT_READY',
          { what: 'VISITS_OPEN', open: open.length },
          {
            field: 'visits',
            message: `${open.length} of the visits ${open.length === 1 ? 'is' : 'are'} still open: report it, send it, say why it was not scanned, or move it to another day.`,
          },
        );
    }
    const revision = row.revision + 1;
    await tx
      .update(rounds)
      .set({ closedAt: body.open ? null : services.clock.now(), revision, updatedAt: services.clock.now() })
      .where(key);
    return { revision };
  });

  serve(app, services, routes.putVisit, ({ tx, actor, params, body }) =>
    putVisit(tx, services, actor, { ...params, ...body }),
  );
  serve(app, services, routes.patchVisit, ({ tx, actor, params, body }) =>
    patchVisit(tx, services, actor, params, body as Parameters<typeof patchVisit>[4]),
  );

  registerRequests(app, services);
}

const toRequest = (r: typeof scanRequests.$inferSelect): ScanRequest => ({
  id: r.id,
  practiceId: r.practiceId,
  patientId: r.patientId,
  planned: r.planned,
  wantedOn: r.wantedOn,
  askedBy: r.askedByName,
  askedAt: r.askedAt.toISOString(),
  takenBy: r.takenByName,
  takenAt: r.takenAt?.toISOString() ?? null,
});

function registerRequests(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.listRequests, async ({ tx, params }) => {
    const rows = await tx
      .select()
      .from(scanRequests)
      .where(
        and(
          eq(scanRequests.practiceId, params.practiceId),
          isNull(scanRequests.withdrawnAt),
          or(isNull(scanRequests.takenAt), sql`${scanRequests.takenAt} > app_now() - interval '30 days'`),
        ),
      )
      .orderBy(desc(scanRequests.askedAt))
      .limit(300);
    return rows.map(toRequest);
  });

  serve(app, services, routes.putRequest, async ({ tx, params, body, actor }) => {
    if (body.patientId) await findPatientRow(tx, params.practiceId, body.patientId);
    else if (body.planned.name === '')
      throw new AppError(
        'FIELD_INVALID',
        {},
        { field: 'planned.name', message: 'planned.name: say which patient shall be scanned.' },
      );
    const made = await tx
      .insert(scanRequests)
      .values({
        practiceId: params.practiceId,
        id: params.requestId,
        ...body,
        askedBy: actor.memberId,
        askedByName: actor.name,
      })
      .onConflictDoNothing()
      .returning({ id: scanRequests.id });
    if (made.length > 0)
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: null,
        referralId: null,
        kind: 'scan.requested',
        data: { requestId: params.requestId },
      });
    const row = (
      await tx
        .select()
        .from(scanRequests)
        .where(and(eq(scanRequests.practiceId, params.practiceId), eq(scanRequests.id, params.requestId)))
    )[0];
    if (!row) throw new AppError('NOT_FOUND');
    return toRequest(row);
  });

  serve(app, services, routes.withdrawRequest, async ({ tx, params }) => {
    const key = and(eq(scanRequests.practiceId, params.practiceId), eq(scanRequests.id, params.requestId));
    const row = (await tx.select().from(scanRequests).where(key).for('update'))[0];
    if (!row) throw new AppError('NOT_FOUND');
    if (row.takenAt)
      throw new AppError(
        'ALREADY_TAKEN',
        { by: row.takenByName ?? '' },
        { message: `It is on the round of ${row.takenByName ?? 'somebody'} already: tell them.` },
      );
    await tx.update(scanRequests).set({ withdrawnAt: services.clock.now() }).where(key);
    return { ok: true as const };
  });
}
