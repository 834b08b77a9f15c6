import { isTaking, isUnsent, routes } from '@chordae/contract';
import { and, eq } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { findAgreement } from '../accounts';
import { recordEvent } from '../events';
import { referrals, scanReferrals, scans } from './cases.tables';
import { mergePatch } from './field-patch';
import { lockReferral, moveReferral } from './move-referral';
import { findPatientRow } from './patients.repository';
import { addScan, interpretLater, listReferralRows, scansOf } from './referrals.repository';
import { openReferral } from './referrals.service';

export function registerReferrals(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.listReferrals, async ({ tx, params, query }) => {
    const rows = await listReferralRows(tx, {
      practiceId: params.practiceId,
      ...(query.state ? { states: [query.state] } : {}),
    });
    return rows.map(({ row: _row, ...rest }) => rest);
  });

  serve(app, services, routes.putReferral, async ({ tx, params, body, actor }) => {
    await findPatientRow(tx, params.practiceId, body.patientId);
    if (body.groupId) await findAgreement(tx, params.practiceId, body.groupId);
    return openReferral(tx, actor, { ...params, ...body });
  });

  serve(app, services, routes.patchReferral, async ({ tx, params, body, actor }) => {
    const where = { practiceId: params.practiceId, referralId: params.referralId };
    const row = await lockReferral(tx, where);
    if (!isUnsent(row.state)) throw new AppError('STATE_CHANGED', { state: row.state });
    if (body.fields.groupId) await findAgreement(tx, params.practiceId, body.fields.groupId);
    const merged = mergePatch(
      { revision: row.revision, fieldRevisions: row.fieldRevisions, values: row },
      {
        base: body.base,
        bases: renamed(body.bases ?? {}, 'groupId', 'wantedGroupId'),
        fields: renamed(body.fields, 'groupId', 'wantedGroupId'),
      },
      actor.name,
    );
    const applied = Object.keys(merged.accepted);
    if (applied.length > 0) {
      await tx
        .update(referrals)
        .set({
          ...merged.accepted,
          revision: merged.revision,
          fieldRevisions: merged.fieldRevisions,
          updatedAt: services.clock.now(),
        })
        .where(and(eq(referrals.practiceId, params.practiceId), eq(referrals.id, params.referralId)));
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: null,
        referralId: params.referralId,
        kind: 'referral.edited',
        data: { fields: applied },
      });
      await interpretLater(tx, params.practiceId, params.referralId);
    }
    return {
      revision: merged.revision,
      applied: applied.map((f) => (f === 'wantedGroupId' ? 'groupId' : f)),
      conflicts: merged.conflicts.map((c) => (c.field === 'wantedGroupId' ? { ...c, field: 'groupId' } : c)),
      stands: renamed(merged.stands, 'wantedGroupId', 'groupId'),
    };
  });

  serve(app, services, routes.putScan, async ({ tx, params, body, actor }) => {
    const referral = await lockReferral(tx, params);
    if (!isTaking(referral.state)) throw new AppError('STATE_CHANGED', { state: referral.state });
    await addScan(tx, {
      ...params,
      patientId: referral.patientId,
      groupId: referral.groupId,
      scannedOn: body.scannedOn,
      by: actor.memberId,
      operator: actor.name,
    });
    const scan = (await scansOf(tx, params.practiceId, params.referralId)).find(
      (s) => s.id === params.scanId,
    );
    if (!scan) throw new AppError('ID_IN_USE', {}, { field: 'scanId' });
    return scan;
  });

  serve(app, services, routes.patchScan, async ({ tx, params, body, actor }) => {
    const key = and(eq(scans.practiceId, params.practiceId), eq(scans.id, params.scanId));
    const row = (await tx.select().from(scans).where(key).for('update'))[0];
    if (!row) throw new AppError('NOT_FOUND');
    const joined = await tx
      .select({ id: scanReferrals.referralId, groupId: scanReferrals.groupId, state: referrals.state })
      .from(scanReferrals)
      .innerJoin(
        referrals,
        and(eq(referrals.practiceId, scanReferrals.practiceId), eq(referrals.id, scanReferrals.referralId)),
      )
      .where(and(eq(scanReferrals.practiceId, params.practiceId), eq(scanReferrals.scanId, params.scanId)));
    // What an opinion was signed on stays as it was.
    const shut = joined.find((r) => !isTaking(r.state));
    if (shut) throw new AppError('STATE_CHANGED', { state: shut.state });
    const merged = mergePatch(
      { revision: row.revision, fieldRevisions: row.fieldRevisions, values: row },
      body,
      actor.name,
    );
    const applied = Object.keys(merged.accepted);
    if (applied.length > 0) {
      await tx
        .update(scans)
        .set({
          ...merged.accepted,
          revision: merged.revision,
          fieldRevisions: merged.fieldRevisions,
          updatedAt: services.clock.now(),
        })
        .where(key);
      for (const { id, groupId } of joined) {
        await recordEvent(tx, actor, {
          practiceId: params.practiceId,
          groupId,
          referralId: id,
          kind: 'scan.edited',
          data: { scanId: params.scanId, fields: applied },
        });
        await interpretLater(tx, params.practiceId, id);
      }
    }
    return { revision: merged.revision, applied, conflicts: merged.conflicts, stands: merged.stands };
  });

  serve(app, services, routes.withdrawReferral, async ({ tx, params, body, actor }) => {
    const { revision } = await moveReferral(
      tx,
      actor,
      params,
      'referral.withdrawn',
      body.base,
      { withdrawnAt: services.clock.now() },
      { reason: body.reason },
    );
    return { revision };
  });

  serve(app, services, routes.closeReferral, async ({ tx, params, body, actor }) => {
    const { revision } = await moveReferral(tx, actor, params, 'referral.closed', body.base);
    return { revision };
  });
}

/** The same values with one of them under another name. */
function renamed<T>(of: Record<string, T>, from: string, to: string): Record<string, T> {
  return Object.fromEntries(Object.entries(of).map(([field, value]) => [field === from ? to : field, value]));
}
