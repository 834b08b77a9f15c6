import {
  isTaking,
  type MeasurementEntry,
  measurementCodes,
  observationCodes,
  routes,
} from '@chordae/contract';
import { and, eq, sql } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { type CaseRef, serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { interpretLater, lockReferral, touchReferral } from '../cases';
import { recordEvent } from '../events';
import { checkGeometry } from './check-geometry';
import { measurements, observations } from './measurements.tables';

/** While it is being prepared or read, numbers may be added; afterwards what was signed on stays. */

/** Under the referral's lock: a value typed while the case is sent or signed goes before it or after it, never past it. */
async function lockOpen(tx: Tx, seen: CaseRef): Promise<CaseRef> {
  const row = await lockReferral(tx, { practiceId: seen.practiceId, referralId: seen.referralId });
  if (!isTaking(row.state)) throw new AppError('STATE_CHANGED', { state: row.state });
  return { ...seen, state: row.state, groupId: row.groupId, revision: row.revision };
}

const sideOf = (onCase: CaseRef) => (onCase.side === 'practice' ? ('sender' as const) : ('reader' as const));

/** Beyond these no animal's heart or blood lies (common practice: an equine ventricle measures about 12 cm, a jet stays below 9 m/s). */
const MOST: Record<string, number> = {
  mm: 400,
  'm/s': 10,
  ms: 5000,
  '/min': 600,
  ml: 5000,
  cm2: 600,
  ratio: 100,
  '%': 100,
  mmHg: 400,
  'nmol/l': 600,
  'pmol/l': 20_000,
  'mmol/l': 20,
  'umol/l': 3000,
};

export function registerMeasurements(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.putMeasurement, async ({ tx, params, body, actor, onCase: seen }) => {
    const onCase = await lockOpen(tx, seen);
    const known = measurementCodes[body.code];
    if (body.unit !== known.unit)
      throw new AppError(
        'FIELD_INVALID',
        { code: body.code },
        { field: 'unit', message: `unit: ${known.name} is kept in ${known.unit}, not in ${body.unit}.` },
      );
    if (!body.withdrawn && (body.value <= 0 || body.value > (MOST[body.unit] ?? Number.POSITIVE_INFINITY))) {
      throw new AppError(
        'FIELD_INVALID',
        { code: body.code },
        {
          field: 'value',
          message: `value: ${known.name} of ${body.value} ${body.unit} is not possible: check the number and its unit.`,
        },
      );
    }
    if (body.source === 'caliper' && !body.geometry)
      throw new AppError(
        'FIELD_INVALID',
        {},
        { field: 'geometry', message: 'geometry: a measurement by caliper keeps what was drawn.' },
      );
    await checkReferences(tx, onCase, body);
    await checkGeometry(tx, onCase, body);
    const made = await tx
      .insert(measurements)
      .values({
        ...body,
        practiceId: params.practiceId,
        id: params.measurementId,
        groupId: onCase.groupId,
        referralId: params.referralId,
        side: sideOf(onCase),
        madeBy: actor.memberId,
        madeByName: actor.name,
      })
      .onConflictDoNothing({ target: [measurements.practiceId, measurements.id] })
      .returning({ id: measurements.id });
    if (made.length === 0)
      await checkRepeat(tx, onCase, measurements, params.measurementId, {
        code: body.code,
        value: body.value,
        supersedesId: body.supersedesId,
      });
    else {
      await changed(tx, actor, onCase, 'measurement.added', {
        measurementId: params.measurementId,
        code: body.code,
        supersedes: body.supersedesId,
        withdrawn: body.withdrawn,
      });
    }
    return { ok: true as const };
  });

  serve(app, services, routes.putObservation, async ({ tx, params, body, actor, onCase: seen }) => {
    const onCase = await lockOpen(tx, seen);
    const allowed: readonly string[] = observationCodes[body.code].values;
    if (body.value !== null && !allowed.includes(body.value)) {
      throw new AppError(
        'FIELD_INVALID',
        { code: body.code },
        { field: 'value', message: `value: ${body.code} is one of ${allowed.join(', ')}.` },
      );
    }
    if (body.supersedesId) await checkSupersedes(tx, onCase, observations, body.supersedesId, body.code);
    const made = await tx
      .insert(observations)
      .values({
        ...body,
        practiceId: params.practiceId,
        id: params.observationId,
        groupId: onCase.groupId,
        referralId: params.referralId,
        side: sideOf(onCase),
        madeBy: actor.memberId,
        madeByName: actor.name,
      })
      .onConflictDoNothing({ target: [observations.practiceId, observations.id] })
      .returning({ id: observations.id });
    if (made.length === 0)
      await checkRepeat(tx, onCase, observations, params.observationId, {
        code: body.code,
        value: body.value,
        supersedesId: body.supersedesId,
      });
    else
      await changed(tx, actor, onCase, 'observation.added', {
        observationId: params.observationId,
        code: body.code,
        value: body.value,
      });
    return { ok: true as const };
  });
}

type Tx = Parameters<typeof recordEvent>[0];

/** What a measurement points at must lie in the same case; a superseded one must be of the same code. */
async function checkReferences(tx: Tx, onCase: CaseRef, body: MeasurementEntry): Promise<void> {
  if (body.supersedesId) await checkSupersedes(tx, onCase, measurements, body.supersedesId, body.code);
  for (const clipId of new Set([body.clipId, body.geometry?.clipId ?? null])) {
    if (clipId === null) continue;
    const found = await tx.execute(
      sql`select 1 from clips where practice_id = ${onCase.practiceId} and referral_id = ${onCase.referralId} and id = ${clipId}`,
    );
    if (found.length === 0)
      throw new AppError(
        'FIELD_INVALID',
        {},
        { field: 'clipId', message: 'clipId: this clip is not part of the referral.' },
      );
  }
}

/** The same id again is a repeated request when it says the same; anything else would be lost in silence, so it is refused. */
async function checkRepeat(
  tx: Tx,
  onCase: CaseRef,
  table: typeof measurements | typeof observations,
  id: string,
  said: { code: string; value: number | string | null; supersedesId: string | null },
): Promise<void> {
  const there = (
    await tx
      .select({
        code: table.code,
        value: table.value,
        supersedesId: table.supersedesId,
        referralId: table.referralId,
      })
      .from(table)
      .where(and(eq(table.practiceId, onCase.practiceId), eq(table.id, id)))
  )[0];
  const same =
    there?.referralId === onCase.referralId &&
    there.code === said.code &&
    there.value === said.value &&
    there.supersedesId === said.supersedesId;
  if (!same) throw new AppError('ID_IN_USE', {}, { field: 'id' });
}

async function checkSupersedes(
  tx: Tx,
  onCase: CaseRef,
  table: typeof measurements | typeof observations,
  id: string,
  code: string,
): Promise<void> {
  const found = (
    await tx
      .select({ code: table.code, referralId: table.referralId })
      .from(table)
      .where(and(eq(table.practiceId, onCase.practiceId), eq(table.id, id)))
  )[0];
  if (!found || found.referralId !== onCase.referralId || found.code !== code) {
    throw new AppError(
      'FIELD_INVALID',
      {},
      {
        field: 'supersedesId',
        message: 'supersedesId: only a value of the same kind in the same referral can be replaced.',
      },
    );
  }
}

async function changed(
  tx: Parameters<typeof recordEvent>[0],
  actor: Parameters<typeof recordEvent>[1],
  onCase: CaseRef,
  kind: string,
  data: Record<string, unknown>,
) {
  const where = { practiceId: onCase.practiceId, referralId: onCase.referralId };
  await recordEvent(tx, actor, { ...where, groupId: onCase.groupId, kind, data });
  await touchReferral(tx, where);
  await interpretLater(tx, onCase.practiceId, onCase.referralId);
}
