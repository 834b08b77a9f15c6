import { routes } from '@chordae/contract';
import { and, eq, inArray } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { patients, referrals } from '../cases';
import { announceArrival, receivedBytes, toArrivalRecord } from './arrivals.service';
import { arrivals, originals } from './arrivals.tables';

export function registerArrivals(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.putArrival, async ({ tx, params, body, actor }) => {
    const row = await announceArrival(tx, services, actor, { ...params, ...body });
    return toArrivalRecord(row, await receivedBytes(services, row), null);
  });

  serve(app, services, routes.knownOriginals, async ({ tx, params, body }) => {
    if (body.sha256s.length === 0) return [];
    const rows = await tx
      .select({
        sha256: originals.sha256,
        arrivedAt: originals.arrivedAt,
        fileName: arrivals.fileName,
        number: referrals.number,
        patientName: patients.name,
      })
      .from(originals)
      .innerJoin(
        arrivals,
        and(eq(arrivals.practiceId, originals.practiceId), eq(arrivals.originalId, originals.id)),
      )
      .innerJoin(
        referrals,
        and(eq(referrals.practiceId, arrivals.practiceId), eq(referrals.id, arrivals.referralId)),
      )
      .innerJoin(
        patients,
        and(eq(patients.practiceId, referrals.practiceId), eq(patients.id, referrals.patientId)),
      )
      .where(and(eq(originals.practiceId, params.practiceId), inArray(originals.sha256, body.sha256s)));
    return rows.map((r) => ({
      sha256: r.sha256,
      fileName: r.fileName,
      referralNumber: r.number,
      patientName: r.patientName,
      arrivedAt: r.arrivedAt.toISOString(),
    }));
  });
}
