import type { MachineReport, MachineSays, Problem } from '@chordae/contract';
import { and, eq } from 'drizzle-orm';
import type { Services } from '../../platform/services';
import { type ArrivalRow, arrivals } from '../arrivals';
import { differsFromPatient, findReferral, touchReferral } from '../cases';
import { recordEvent } from '../events';
import { readOriginal } from './read-original';

/** A machine's own report becomes numbers to be offered; it makes no clip and never leaves the practice. */
export async function readReportOriginal(
  services: Services,
  arrival: ArrivalRow,
  key: string,
): Promise<void> {
  const outcome = await services.storage.withLocalFile(key, (originalPath) =>
    readOriginal(services, { kind: 'read-report', originalPath }),
  );
  const { practiceId, id, referralId, scanId } = arrival;
  await services.db.withJob(practiceId, 'reader', async (tx, actor) => {
    const referral = await findReferral(tx, practiceId, referralId);
    const read = outcome.ok ? outcome.value : null;
    const differs =
      read !== null && (await differsFromPatient(tx, practiceId, referral.patientId, scanId, read.machine));
    await tx
      .update(arrivals)
      .set({
        state: outcome.ok ? 'read' : 'unreadable',
        report: read?.report ?? null,
        problem: outcome.ok
          ? whatToSay(outcome.value.report, outcome.value.machine, differs)
          : outcome.problem,
      })
      .where(and(eq(arrivals.practiceId, practiceId), eq(arrivals.id, id)));
    await recordEvent(tx, actor, {
      practiceId,
      groupId: referral.groupId,
      referralId,
      kind: outcome.ok ? 'original.report-read' : 'original.unreadable',
      data: { arrivalId: id },
    });
    await touchReferral(tx, { practiceId, referralId });
  });
}

function whatToSay(report: MachineReport, machine: MachineSays, differs: boolean): Problem | null {
  if (differs) return { code: 'REPORT_NAMES_ANOTHER', data: { inFile: machine.patientName ?? '' } };
  return report.measurements.length === 0 ? { code: 'REPORT_WITHOUT_NUMBERS', data: {} } : null;
}
