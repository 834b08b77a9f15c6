import type { KeeperFields, PatientFields, PatientRecord, WeightRecord } from '@chordae/contract';
import type { BodyOf } from '../route-fetch';
import type { Written } from './world';
import { NO_NUMBER } from './world';

/** A patient with one more write on it; null stays null until the write that makes it. */
export function foldPatient(before: PatientRecord | null, op: Written): PatientRecord | null {
  if (before === null) return op.route === 'putPatient' ? newPatient(op) : null;
  if (op.params['patientId'] !== before.id) return before;
  if (op.route === 'patchPatient') {
    const { fields } = op.body as BodyOf<'patchPatient'>;
    return { ...before, ...(fields as Partial<PatientFields>) };
  }
  if (op.route === 'putWeight') return withWeight(before, op);
  return before;
}

function newPatient(op: Written): PatientRecord {
  return {
    ...(op.body as PatientFields),
    id: op.params['patientId'] ?? '',
    practiceId: op.params['practiceId'] ?? '',
    number: NO_NUMBER,
    revision: 1,
    createdAt: op.saidAt,
    weights: [],
  };
}

function withWeight(before: PatientRecord, op: Written): PatientRecord {
  const id = op.params['weightId'] ?? '';
  if (before.weights.some((w) => w.id === id)) return before;
  const weight: WeightRecord = { ...(op.body as Omit<WeightRecord, 'id'>), id };
  return { ...before, weights: newestFirst([weight, ...before.weights]) };
}

/** As the server lists them: by the day of weighing, then by entry; the last entered is given first. */
export function newestFirst(weights: readonly WeightRecord[]): WeightRecord[] {
  return [...weights].sort((a, b) => (a.weighedOn < b.weighedOn ? 1 : a.weighedOn > b.weighedOn ? -1 : 0));
}

type WithKeeper = PatientRecord & { keeper: KeeperFields | null };

/** One patient with its keeper. */
export function foldPatientPage(before: WithKeeper | null, op: Written): WithKeeper | null {
  const patient = foldPatient(before, op);
  if (patient === null) return null;
  const keeper = before?.keeper ?? null;
  if (op.route === 'putKeeper' && op.params['patientId'] === patient.id)
    return { ...patient, keeper: op.body as KeeperFields };
  return { ...patient, keeper };
}

/** The weight that stands on a day: the newest not after it, else the newest. */
export function weightOn(weights: readonly WeightRecord[], day: string): WeightRecord | null {
  const all = newestFirst(weights);
  return all.find((w) => w.weighedOn <= day) ?? all[0] ?? null;
}

/** Whole months between birth and a day, as the server counts them; null without a birth date or before it. */
export function ageInMonths(birthDate: string | null, on: string): number | null {
  if (birthDate === null) return null;
  const [by = 0, bm = 0, bd = 0] = birthDate.split('-').map(Number);
  const [y = 0, m = 0, d = 0] = on.split('-').map(Number);
  const months = (y - by) * 12 + (m - bm) - (d < bd ? 1 : 0);
  return months < 0 ? null : months;
}

/** Does a patient answer to these words: part of the name, the chip or the number. */
export function answersTo(patient: PatientRecord, find: string): boolean {
  const wanted = find.trim().toLowerCase();
  return (
    wanted === '' ||
    patient.name.toLowerCase().includes(wanted) ||
    patient.chip === wanted ||
    (patient.number !== NO_NUMBER && String(patient.number) === wanted)
  );
}
