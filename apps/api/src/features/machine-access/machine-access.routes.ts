import { randomBytes } from 'node:crypto';
import { type MachineKey, type OpenScan, routes } from '@chordae/contract';
import { and, desc, eq, isNull, sql } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { hashToken } from '../../platform/db/database';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { practiceName } from '../accounts';
import { recordEvent } from '../events';
import { machineKeys } from './machine-access.tables';

const shown = {
  id: machineKeys.id,
  name: machineKeys.name,
  madeByName: machineKeys.madeByName,
  madeAt: machineKeys.madeAt,
  lastUsedAt: machineKeys.lastUsedAt,
  revokedAt: machineKeys.revokedAt,
  revokedByName: machineKeys.revokedByName,
};
type Shown = Pick<typeof machineKeys.$inferSelect, keyof typeof shown>;

const toKey = (row: Shown): MachineKey => ({
  id: row.id,
  name: row.name,
  madeBy: row.madeByName,
  madeAt: row.madeAt.toISOString(),
  lastUsedAt: row.lastUsedAt?.toISOString() ?? null,
  revokedAt: row.revokedAt?.toISOString() ?? null,
  revokedBy: row.revokedByName,
});

/** A key of a machine opens four things: whose it is, which cases take files, which files are known, and sending. */
export function registerMachineAccess(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.listMachineKeys, async ({ tx, params }) => {
    const rows = await tx
      .select(shown)
      .from(machineKeys)
      .where(eq(machineKeys.practiceId, params.practiceId))
      .orderBy(desc(machineKeys.madeAt));
    return rows.map(toKey);
  });

  serve(app, services, routes.putMachineKey, async ({ tx, params, body, actor }) => {
    const key = `chordae-${randomBytes(32).toString('base64url')}`;
    const made = await tx
      .insert(machineKeys)
      .values({
        practiceId: params.practiceId,
        id: params.keyId,
        name: body.name,
        keyHash: hashToken(key),
        madeBy: actor.memberId,
        madeByName: actor.name,
      })
      .onConflictDoNothing()
      .returning(shown);
    const row = made[0];
    // It was shown to the first request and is nowhere kept.
    if (!row)
      throw new AppError(
        'ID_IN_USE',
        {},
        { field: 'keyId', message: 'This key was made already and cannot be shown again. Make another one.' },
      );
    await recordEvent(tx, actor, {
      practiceId: params.practiceId,
      groupId: null,
      referralId: null,
      kind: 'machine-key.made',
      data: { keyId: params.keyId, name: body.name },
    });
    return { ...toKey(row), key };
  });

  serve(app, services, routes.revokeMachineKey, async ({ tx, params, actor }) => {
    const at = and(eq(machineKeys.practiceId, params.practiceId), eq(machineKeys.id, params.keyId));
    const there = await tx.select(shown).from(machineKeys).where(at);
    if (there.length === 0) throw new AppError('NOT_FOUND');
    const revoked = await tx
      .update(machineKeys)
      .set({ revokedAt: services.clock.now(), revokedByName: actor.name })
      .where(and(at, isNull(machineKeys.revokedAt)))
      .returning({ id: machineKeys.id });
    if (revoked.length > 0)
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: null,
        referralId: null,
        kind: 'machine-key.revoked',
        data: { keyId: params.keyId },
      });
    return { ok: true as const };
  });

  serve(app, services, routes.machineSelf, async ({ tx, actor }) => {
    const practiceId = actor.memberships[0]?.practiceId;
    if (actor.kind !== 'service' || !practiceId) throw new AppError('NOT_FOUND');
    return { practiceId, practiceName: await practiceName(tx, practiceId), keyName: actor.name };
  });

  serve(app, services, routes.openScans, async ({ tx, params }) => {
    const rows = await tx.execute<{
      referral_id: string;
      scan_id: string;
      number: number;
      name: string;
      species: OpenScan['species'];
      sex: OpenScan['sex'];
      weight_kg: number | null;
      weighed_on: string | null;
      scanned_on: string;
    }>(sql`
      select r.id as referral_id, s.id as scan_id, r.number, p.name, p.species, p.sex, w.weight_kg,
             to_char(w.weighed_on, 'YYYY-MM-DD') as weighed_on, to_char(s.scanned_on, 'YYYY-MM-DD') as scanned_on
        from referrals r
        join patients p on p.practice_id = r.practice_id and p.id = patient_root(r.practice_id, r.patient_id)
        join lateral (select s.id, s.scanned_on from scans s join scan_referrals sr on sr.practice_id = s.practice_id and sr.scan_id = s.id
                       where sr.practice_id = r.practice_id and sr.referral_id = r.id order by sr.position desc limit 1) s on true
        left join lateral (select weight_kg, weighed_on from weights where practice_id = r.practice_id and patient_id = any(patient_family(r.practice_id, r.patient_id))
                            order by weighed_on desc, created_at desc limit 1) w on true
       where r.practice_id = ${params.practiceId} and r.state in ('draft', 'reported', 'filed', 'images-wanted')
         and r.updated_at > app_now() - interval '30 days'
       order by r.updated_at desc limit 500`);
    return rows.map((r) => ({
      referralId: r.referral_id,
      scanId: r.scan_id,
      number: r.number,
      patientName: r.name,
      species: r.species,
      sex: r.sex,
      weightKg: r.weight_kg,
      weighedOn: r.weighed_on,
      scannedOn: r.scanned_on,
    }));
  });
}
