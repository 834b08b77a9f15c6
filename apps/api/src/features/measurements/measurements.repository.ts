import { type MeasurementRecord, type ObservationRecord, upgradeGeometry } from '@chordae/contract';
import { and, asc, eq } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { measurements, observations } from './measurements.tables';

export async function measurementsOf(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<MeasurementRecord[]> {
  const rows = await tx
    .select()
    .from(measurements)
    .where(and(eq(measurements.practiceId, practiceId), eq(measurements.referralId, referralId)))
    .orderBy(asc(measurements.madeAt), asc(measurements.id));
  const successor = new Map(rows.flatMap((r) => (r.supersedesId ? [[r.supersedesId, r.id] as const] : [])));
  return rows.map((r) => ({
    id: r.id,
    code: r.code,
    value: r.value,
    unit: r.unit,
    asTyped: r.asTyped,
    view: r.view,
    method: r.method,
    beat: r.beat,
    clipId: r.clipId,
    frame: r.frame,
    source: r.source,
    geometry: upgradeGeometry(r.geometry),
    supersedesId: r.supersedesId,
    withdrawn: r.withdrawn,
    side: r.side,
    madeBy: r.madeByName,
    madeAt: r.madeAt.toISOString(),
    supersededById: successor.get(r.id) ?? null,
  }));
}

export async function observationsOf(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<ObservationRecord[]> {
  const rows = await tx
    .select()
    .from(observations)
    .where(and(eq(observations.practiceId, practiceId), eq(observations.referralId, referralId)))
    .orderBy(asc(observations.madeAt), asc(observations.id));
  const successor = new Map(rows.flatMap((r) => (r.supersedesId ? [[r.supersedesId, r.id] as const] : [])));
  return rows.map((r) => ({
    id: r.id,
    code: r.code,
    value: r.value,
    supersedesId: r.supersedesId,
    side: r.side,
    madeBy: r.madeByName,
    madeAt: r.madeAt.toISOString(),
    supersededById: successor.get(r.id) ?? null,
  }));
}
