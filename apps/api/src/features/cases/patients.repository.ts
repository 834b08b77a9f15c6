import type {
  KeeperFields,
  PatientFields,
  PatientRecord,
  PatientView,
  WeightRecord,
} from '@chordae/contract';
import { and, desc, eq, inArray, sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { groupedBy } from '../../platform/grouped-by';
import { keepers, patients, weights } from './cases.tables';
import { findPatientIds } from './patients.search';

type PatientRow = typeof patients.$inferSelect;

export function toPatientRecord(row: PatientRow, rowWeights: WeightRecord[]): PatientRecord {
  return {
    id: row.id,
    practiceId: row.practiceId,
    number: row.number,
    revision: row.revision,
    createdAt: row.createdAt.toISOString(),
    name: row.name,
    species: row.species,
    breedCode: row.breedCode,
    breedText: row.breedText,
    sex: row.sex,
    neutered: row.neutered,
    birthDate: row.birthDate,
    birthPrecision: row.birthPrecision,
    chip: row.chip,
    weights: rowWeights,
  };
}

const toWeight = (w: typeof weights.$inferSelect): WeightRecord => ({
  id: w.id,
  weightKg: w.weightKg,
  asTyped: w.asTyped,
  guessed: w.guessed,
  weighedOn: w.weighedOn,
});

/** Every id under which this animal has rows: its own, and those of patients that were merged with it. */
export async function patientFamily(tx: ActorTx, practiceId: string, patientId: string): Promise<string[]> {
  const rows = await tx.execute<{ ids: string[] }>(
    sql`select patient_family(${practiceId}, ${patientId}) as ids`,
  );
  const ids = rows[0]?.ids ?? [];
  return ids.length === 0 ? [patientId] : ids;
}

/** The patient that stands for this id: itself, or the one it was merged into. */
export async function patientRoot(tx: ActorTx, practiceId: string, patientId: string): Promise<string> {
  const rows = await tx.execute<{ id: string | null }>(
    sql`select patient_root(${practiceId}, ${patientId}) as id`,
  );
  return rows[0]?.id ?? patientId;
}

/** Newest first: by the day of weighing, then by entry; those of merged patients are among them. */
export async function weightsOf(tx: ActorTx, practiceId: string, patientId: string): Promise<WeightRecord[]> {
  const rows = await tx
    .select()
    .from(weights)
    .where(
      and(
        eq(weights.practiceId, practiceId),
        inArray(weights.patientId, await patientFamily(tx, practiceId, patientId)),
      ),
    )
    .orderBy(desc(weights.weighedOn), desc(weights.createdAt), desc(weights.id));
  return rows.map(toWeight);
}

export async function findPatientRow(
  tx: ActorTx,
  practiceId: string,
  patientId: string,
): Promise<PatientRow> {
  const row = (
    await tx
      .select()
      .from(patients)
      .where(and(eq(patients.practiceId, practiceId), eq(patients.id, patientId)))
  )[0];
  if (!row) throw new AppError('NOT_FOUND');
  return row;
}

export async function loadPatient(
  tx: ActorTx,
  practiceId: string,
  patientId: string,
): Promise<PatientRecord> {
  return toPatientRecord(
    await findPatientRow(tx, practiceId, patientId),
    await weightsOf(tx, practiceId, patientId),
  );
}

/** Patients found by words, as `findPatientIds` finds them, with their weights; the ones changed last first. At most 100. */
export async function searchPatients(
  tx: ActorTx,
  practiceId: string,
  find: string,
): Promise<PatientRecord[]> {
  const found = await findPatientIds(tx, practiceId, find, 100);
  if (found.length === 0) return [];
  const ids = found.map((f) => f.id);
  const rows = await tx
    .select()
    .from(patients)
    .where(and(eq(patients.practiceId, practiceId), inArray(patients.id, ids)));
  // All weights in one reading, those of merged patients beside those of the one that stands.
  const standsFor = new Map(found.flatMap((f) => f.family.map((id) => [id, f.id] as const)));
  const all = await tx
    .select()
    .from(weights)
    .where(and(eq(weights.practiceId, practiceId), inArray(weights.patientId, [...standsFor.keys()])))
    .orderBy(desc(weights.weighedOn), desc(weights.createdAt), desc(weights.id));
  const byPatient = groupedBy(all, (w) => standsFor.get(w.patientId) ?? w.patientId);
  const byId = new Map(rows.map((row) => [row.id, row]));
  return found.flatMap(({ id }) => {
    const row = byId.get(id);
    return row ? [toPatientRecord(row, (byPatient.get(id) ?? []).map(toWeight))] : [];
  });
}

/** Inserts with a client-made id; the same id again returns what is there. */
export async function insertPatient(
  tx: ActorTx,
  practiceId: string,
  patientId: string,
  fields: PatientFields,
  by: string,
): Promise<boolean> {
  const there = await tx
    .select({ id: patients.id })
    .from(patients)
    .where(and(eq(patients.practiceId, practiceId), eq(patients.id, patientId)));
  if (there.length > 0) return false;
  const next = await tx.execute<{ n: number }>(
    sql`update practices set next_patient_number = next_patient_number + 1 where id = ${practiceId} returning next_patient_number - 1 as n`,
  );
  await tx
    .insert(patients)
    .values({ practiceId, id: patientId, number: next[0]?.n ?? 0, createdBy: by, ...fields });
  return true;
}

export async function loadKeeper(
  tx: ActorTx,
  practiceId: string,
  patientId: string,
): Promise<KeeperFields | null> {
  const row = (
    await tx
      .select()
      .from(keepers)
      .where(and(eq(keepers.practiceId, practiceId), eq(keepers.patientId, patientId)))
  )[0];
  return row ? { name: row.name, phone: row.phone, email: row.email } : null;
}

export async function saveKeeper(
  tx: ActorTx,
  practiceId: string,
  patientId: string,
  fields: KeeperFields,
): Promise<void> {
  await tx
    .insert(keepers)
    .values({ practiceId, patientId, ...fields })
    .onConflictDoUpdate({
      target: [keepers.practiceId, keepers.patientId],
      set: { ...fields, updatedAt: sql`app_now()` as never },
    });
}

/** Whole months between birth and a day; null without a birth date, or for a day before it. */
export function ageInMonths(birthDate: string | null, on: string): number | null {
  if (!birthDate) return null;
  const [by = 0, bm = 0, bd = 0] = birthDate.split('-').map(Number);
  const [y = 0, m = 0, d = 0] = on.split('-').map(Number);
  const months = (y - by) * 12 + (m - bm) - (d < bd ? 1 : 0);
  return months < 0 ? null : months;
}

/** The patient that stands for this id, without the keeper, as of the day of the scan: the newest weight not after the scan's day stands, else the newest. */
export async function patientViewOf(
  tx: ActorTx,
  practiceId: string,
  patientId: string,
  scannedOn: string,
): Promise<PatientView> {
  const row = await findPatientRow(tx, practiceId, await patientRoot(tx, practiceId, patientId));
  const all = await weightsOf(tx, practiceId, row.id);
  const weight = all.find((w) => w.weighedOn <= scannedOn) ?? all[0] ?? null;
  return {
    id: row.id,
    number: row.number,
    revision: row.revision,
    name: row.name,
    species: row.species,
    breedCode: row.breedCode,
    breedText: row.breedText,
    sex: row.sex,
    neutered: row.neutered,
    birthDate: row.birthDate,
    birthPrecision: row.birthPrecision,
    chip: row.chip,
    weight,
    ageMonths: ageInMonths(row.birthDate, scannedOn),
  };
}
