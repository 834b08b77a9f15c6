import type { MachineSays } from '@chordae/contract';
import { compareIdentity } from '@chordae/dicom';
import { and, eq } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import { scans } from './cases.tables';
import { patientViewOf } from './patients.repository';

/** Does what the machine wrote contradict the patient of the referral, in name, species, date or another thing compared? */
export async function differsFromPatient(
  tx: ActorTx,
  practiceId: string,
  patientId: string,
  scanId: string,
  machine: MachineSays,
): Promise<boolean> {
  const scan = (
    await tx
      .select({ on: scans.scannedOn })
      .from(scans)
      .where(and(eq(scans.practiceId, practiceId), eq(scans.id, scanId)))
  )[0];
  const patient = await patientViewOf(tx, practiceId, patientId, scan?.on ?? '');
  const rows = compareIdentity({ clipId: '', fileName: '', machine }, patient, scan?.on ?? '');
  return rows.some((row) => row.verdict === 'differs');
}
