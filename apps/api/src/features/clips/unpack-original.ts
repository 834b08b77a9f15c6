import type { Problem } from '@chordae/contract';
import { and, eq } from 'drizzle-orm';
import type { Services } from '../../platform/services';
import { type ArrivalRow, arrivals, takeMember } from '../arrivals';
import { findReferral } from '../cases';
import { recordEvent } from '../events';
import { readOriginal } from './read-original';

/** An archive may hold this many times the largest single file, unpacked. */
const unpackedTimes = 2;

/**
 * An archive becomes the files in it, each an arrival of its own that is read in its own turn; what stays inside is
 * said with the archive. Run twice, it makes each file once.
 */
export async function unpackOriginal(
  services: Services,
  archive: ArrivalRow,
  key: string,
  folder: string,
): Promise<void> {
  const mostBytes = unpackedTimes * services.config.CHORDAE_MAX_FILE_BYTES;
  const outcome = await services.storage.withLocalFile(key, (originalPath) =>
    readOriginal(services, { kind: 'unpack', originalPath, folder, mostBytes }),
  );
  if (!outcome.ok) return settle(services, archive, 'unreadable', outcome.problem);
  const { members, left, missing, files } = outcome.value;
  for (const member of members) await takeMember(services, archive, member);
  const data = { files, kept: members.length, ...left, missing };
  const state = members.length === 0 ? 'unreadable' : 'read';
  return settle(services, archive, state, { code: 'ARCHIVE_UNPACKED', data });
}

async function settle(
  services: Services,
  archive: ArrivalRow,
  state: 'read' | 'unreadable',
  problem: Problem,
): Promise<void> {
  const { practiceId, id, referralId } = archive;
  await services.db.withJob(practiceId, 'reader', async (tx, actor) => {
    await tx
      .update(arrivals)
      .set({ state, problem })
      .where(and(eq(arrivals.practiceId, practiceId), eq(arrivals.id, id)));
    const { groupId } = await findReferral(tx, practiceId, referralId);
    await recordEvent(tx, actor, {
      practiceId,
      groupId,
      referralId,
      kind: state === 'read' ? 'original.unpacked' : 'original.unreadable',
      data: { arrivalId: id, code: problem.code },
    });
  });
}
