import type {
  KeeperFields,
  PatientFields,
  PatientRecord,
  PatientView,
  WeightRecord,
} from '@chordae/contract';
import { and, desc, eq, sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { keepers, patients, weights } from './cases.tables';

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

/** Newest first: by the day of weighing, then by entry. */
export async function weightsOf(tx: ActorTx, practiceId: string, patientId: string): Promise<WeightRecord[]> {
  const rows = await tx
    .select()
    .from(weights)
    .where(and(eq(weights.practiceId, practiceId), eq(weights.patientId, patientId)))
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

/** Patients whose name starts with, or contains, the words; or whose number or chip is it. At most 100. */
export async function searchPatients(
  tx: ActorTx,
  practiceId: string,
  find: string,
): Promise<PatientRecord[]> {
  const wanted = find.trim().toLowerCase();
  const like = `%${wanted.replace(/[\\%_]/g, (c) => `\\${c}`)}%`;
  const condition =
    wanted === ''
      ? sql`true`
      : sql`(lower(${patients.name}) like ${like} or ${patients.chip} = ${wanted} or ${patients.number}::text = ${wanted})`;
  const rows = await tx
    .select()
    .from(patients)
    .where(and(eq(patients.practiceId, practiceId), sql`${patients.mergedIntoId} is null`, condition))
    .orderBy(desc(patients.updatedAt))
    .limit(100);
  const found: PatientRecord[] = [];
  for (const row of rows) found.push(toPatientRecord(row, await weightsOf(tx, practiceId, row.id)));
  return found;
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

/** The patient without the keeper, as of the day of the scan: the newest weight not after the scan's day stands, else the newest. */
export async function patientViewOf(
  tx: ActorTx,
  practiceId: string,
  patientId: string,
  scannedOn: string,
): Promise<PatientView> {
  const row = await findPatientRow(tx, practiceId, patientId);
  const all = await weightsOf(tx, practiceId, patientId);
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
