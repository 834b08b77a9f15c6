import type { PatientFields, PatientRecord, ReferralRow } from '@chordae/contract';
import type { BodyOf } from '../route-fetch';
import { answersTo, foldPatient } from './fold-patient';
import type { World, Written } from './world';
import { NO_NUMBER } from './world';

/** Referrals of a practice with one more write on them. */
export function foldReferrals(
  rows: readonly ReferralRow[],
  op: Written,
  world: World,
  at: { practiceId: string; state?: string | undefined },
): readonly ReferralRow[] {
  if (op.params['practiceId'] !== at.practiceId) return rows;
  if (op.route === 'putReferral') {
    const made = at.state === undefined || at.state === 'draft' ? newRow(op, world) : null;
    return !made || rows.some((r) => r.id === made.id) ? rows : [made, ...rows];
  }
  // Folded once the server has taken it, never while it waits.
  if (op.route === 'sendReferral')
    return rows.map((r) => (r.id === op.params['referralId'] ? { ...r, state: 'sent' as const } : r));
  if (op.route !== 'patchReferral') return rows;
  const { fields } = op.body as BodyOf<'patchReferral'>;
  return rows.map((row) => {
    if (row.id !== op.params['referralId']) return row;
    const urgency = fields.urgencyAsked === undefined ? row.urgency : fields.urgencyAsked;
    return { ...row, plan: fields.plan ?? row.plan, urgency };
  });
}

function newRow(op: Written, world: World): ReferralRow | null {
  const practiceId = op.params['practiceId'] ?? '';
  const body = op.body as BodyOf<'putReferral'>;
  const patient = world.patient(practiceId, body.patientId);
  if (!patient) return null;
  const agreement = world.me.agreements.find(
    (a) => a.practiceId === practiceId && a.groupId === body.groupId,
  );
  return {
    id: op.params['referralId'] ?? '',
    practiceId,
    practiceName: world.me.organisations.find((o) => o.id === practiceId)?.name ?? '',
    groupName: agreement?.groupName ?? '',
    number: NO_NUMBER,
    state: 'draft',
    plan: body.plan,
    patientName: patient.name,
    species: patient.species,
    breedText: patient.breedText,
    weightKg: patient.weights[0]?.weightKg ?? null,
    urgency: null,
    createdAt: op.saidAt,
    sentAt: null,
    dueAt: null,
    updatedAt: op.saidAt,
    readerName: null,
    clipCount: 0,
  };
}

/** Patients of a practice that answer to a search, with one more write on them. */
export function foldPatients(
  all: readonly PatientRecord[],
  op: Written,
  at: { practiceId: string; find: string },
): readonly PatientRecord[] {
  if (op.params['practiceId'] !== at.practiceId) return all;
  const known = all.find((p) => p.id === op.params['patientId']) ?? null;
  if (op.route === 'putPatient' && known === null) {
    const made = foldPatient(null, op);
    return made && answersTo({ ...made, ...(op.body as PatientFields) }, at.find) ? [made, ...all] : all;
  }
  if (known === null) return all;
  const next = foldPatient(known, op);
  return next ? all.map((p) => (p.id === next.id ? next : p)) : all;
}
