import {
  EMPTY_STATE_AT_SCAN,
  type ReferralRow,
  type ReferralState,
  type ScanRecord,
  takingStates,
} from '@chordae/contract';
import { and, desc, eq, inArray, sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import { enqueue } from '../../platform/jobs/enqueue';
import { recordEvent } from '../events';
import { patients, referrals, scanReferrals, scans } from './cases.tables';
import { patientFamily, patientViewOf } from './patients.repository';

export type ReferralRowDb = typeof referrals.$inferSelect;

export async function findReferral(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<ReferralRowDb> {
  const row = (
    await tx
      .select()
      .from(referrals)
      .where(and(eq(referrals.practiceId, practiceId), eq(referrals.id, referralId)))
  )[0];
  if (!row) throw new AppError('NOT_FOUND');
  return row;
}

export async function scansOf(tx: ActorTx, practiceId: string, referralId: string): Promise<ScanRecord[]> {
  const rows = await tx
    .select({ scan: scans })
    .from(scanReferrals)
    .innerJoin(scans, and(eq(scans.practiceId, scanReferrals.practiceId), eq(scans.id, scanReferrals.scanId)))
    .where(and(eq(scanReferrals.practiceId, practiceId), eq(scanReferrals.referralId, referralId)))
    .orderBy(scanReferrals.position);
  return rows.map(({ scan: s }) => ({
    id: s.id,
    patientId: s.patientId,
    scannedOn: s.scannedOn,
    operator: s.operator,
    machine: s.machine,
    state: s.state,
    revision: s.revision,
  }));
}

/** Adds a scan to a referral; the same id again changes nothing. */
export async function addScan(
  tx: ActorTx,
  scan: {
    practiceId: string;
    scanId: string;
    referralId: string;
    patientId: string;
    groupId: string | null;
    scannedOn: string;
    by: string;
    operator: string;
  },
): Promise<void> {
  const { practiceId, groupId } = scan;
  await tx
    .insert(scans)
    .values({
      practiceId,
      id: scan.scanId,
      groupId,
      patientId: scan.patientId,
      scannedOn: scan.scannedOn,
      operator: scan.operator,
      state: EMPTY_STATE_AT_SCAN,
      createdBy: scan.by,
    })
    .onConflictDoNothing();
  const place = await tx.execute<{ n: number }>(
    sql`select coalesce(max(position), 0)::int + 1 as n from scan_referrals where practice_id = ${practiceId} and referral_id = ${scan.referralId}`,
  );
  await tx
    .insert(scanReferrals)
    .values({
      practiceId,
      groupId,
      scanId: scan.scanId,
      referralId: scan.referralId,
      position: place[0]?.n ?? 1,
    })
    .onConflictDoNothing();
}

export async function listReferralRows(
  tx: ActorTx,
  where: {
    practiceId?: string;
    groupId?: string;
    states?: readonly ReferralState[];
    readerId?: string;
    ids?: readonly string[];
    limit?: number;
  },
): Promise<(ReferralRow & { row: ReferralRowDb })[]> {
  const conditions = [
    where.practiceId ? eq(referrals.practiceId, where.practiceId) : undefined,
    where.groupId ? eq(referrals.groupId, where.groupId) : undefined,
    where.states ? inArray(referrals.state, [...where.states]) : undefined,
    where.readerId ? eq(referrals.readerId, where.readerId) : undefined,
    where.ids ? inArray(referrals.id, [...where.ids]) : undefined,
  ];
  const rows = await tx
    .select({
      r: referrals,
      p: { name: patients.name, species: patients.species, breedText: patients.breedText },
      practiceName: sql<string>`(select name from practices where id = ${referrals.practiceId})`,
      groupName: sql<string>`coalesce((select name from reading_groups where id = ${referrals.wantedGroupId}), '')`,
      reportTalk: sql<
        'practice' | 'sonographer' | null
      >`(select m.side from report_messages m where m.practice_id = ${referrals.practiceId} and m.referral_id = ${referrals.id} order by m.made_at desc, m.id desc limit 1)`,
      weightKg: sql<
        number | null
      >`case when ${referrals.patientSent} is null then (select w.weight_kg from weights w where w.practice_id = ${referrals.practiceId} and w.patient_id = any(patient_family(${referrals.practiceId}, ${referrals.patientId})) order by w.weighed_on desc, w.created_at desc limit 1) end`,
    })
    .from(referrals)
    .leftJoin(
      patients,
      and(
        eq(patients.practiceId, referrals.practiceId),
        // A sent one shows the patient as sent; only the others are looked up through merges.
        sql`${patients.id} = case when ${referrals.patientSent} is null then patient_root(${referrals.practiceId}, ${referrals.patientId}) end`,
      ),
    )
    .where(and(...conditions))
    .orderBy(desc(referrals.updatedAt))
    .limit(where.limit ?? 500);
  return rows.map(({ r, p, practiceName, groupName, reportTalk, weightKg }) => {
    // The group cannot read patients: it sees the patient as sent.
    const seen = r.patientSent ?? p;
    return {
      id: r.id,
      practiceId: r.practiceId,
      practiceName,
      groupName,
      number: r.number,
      state: r.state,
      plan: r.plan,
      patientName: seen?.name ?? '',
      species: seen?.species ?? 'other',
      breedText: seen?.breedText ?? '',
      weightKg: r.patientSent ? (r.patientSent.weight?.weightKg ?? null) : weightKg,
      urgency: r.urgency ?? r.urgencyAsked,
      createdAt: r.createdAt.toISOString(),
      sentAt: r.sentAt?.toISOString() ?? null,
      dueAt: r.dueAt?.toISOString() ?? null,
      updatedAt: r.updatedAt.toISOString(),
      readerName: r.readerName,
      clipCount: r.clipCount,
      reportTalk,
      row: r,
    };
  });
}

/**
 * A patient's change reaches every case that still rests on it: a weight put right after sending must not leave the
 * reader with the wrong one. What was signed keeps the patient it was signed on.
 */
export async function reinterpretOpenCases(
  tx: ActorTx,
  actor: Actor,
  practiceId: string,
  patientId: string,
): Promise<void> {
  // Locked, so that a referral being sent at this moment is seen either as draft or as sent, never missed.
  const open = await tx
    .select({ id: referrals.id, groupId: referrals.groupId, before: referrals.patientSent })
    .from(referrals)
    .where(
      and(
        eq(referrals.practiceId, practiceId),
        inArray(referrals.patientId, await patientFamily(tx, practiceId, patientId)),
        inArray(referrals.state, [...takingStates]),
      ),
    )
    .orderBy(referrals.id)
    .for('update');
  for (const { id, groupId, before } of open) {
    if (before !== null) {
      const scannedOn = (await scansOf(tx, practiceId, id))[0]?.scannedOn ?? '';
      const patientSent = await patientViewOf(tx, practiceId, patientId, scannedOn);
      await tx
        .update(referrals)
        .set({ patientSent, updatedAt: sql`app_now()` as never })
        .where(and(eq(referrals.practiceId, practiceId), eq(referrals.id, id)));
      await recordEvent(tx, actor, {
        practiceId,
        groupId,
        referralId: id,
        kind: 'patient.corrected',
        data: {
          weightKgBefore: before.weight?.weightKg ?? null,
          weightKg: patientSent.weight?.weightKg ?? null,
        },
      });
    }
    await interpretLater(tx, practiceId, id);
  }
}

/** One waiting computation per case is enough: a newer change replaces the older job. */
export async function interpretLater(tx: ActorTx, practiceId: string, referralId: string): Promise<void> {
  await enqueue(tx, 'case.interpret', { practiceId, referralId }, `interpret:${referralId}`);
}
