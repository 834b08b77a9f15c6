import { type QueueRow, type ReferralState, withReadersStates } from '@chordae/contract';
import { type QueueItem, queueOrder, queueReasons } from '@chordae/interpretation';
import type { ActorTx } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { listReferralRows, type ReferralRowDb } from '../cases';
import { referralsWithQuestion } from '../messages';
import { openSecondReadsOf, secondReadsStarted } from '../second-reads';

const scopes: Record<'open' | 'mine' | 'answered', readonly ReferralState[]> = {
  open: withReadersStates,
  mine: ['reading', 'images-wanted'],
  answered: ['answered', 'closed'],
};

/** The queue as it stands at this moment: only time-independent keys are stored, 'late' and the reasons are worked out here. */
export async function readQueue(
  tx: ActorTx,
  services: Services,
  groupId: string,
  scope: 'open' | 'mine' | 'answered',
  memberId: string,
): Promise<QueueRow[]> {
  const rows = await listReferralRows(tx, {
    groupId,
    states: scopes[scope],
    ...(scope === 'mine' ? { readerId: memberId } : {}),
    limit: 2000,
  });
  const blind = await openSecondReadsOf(tx, memberId);
  // A second read that is begun is work on one's own table, whatever the first reader has done since.
  if (scope === 'mine' && blind.size > 0)
    rows.push(...(await listReferralRows(tx, { groupId, ids: [...blind], limit: 200 })));
  const nowMs = services.clock.now().getTime();
  const asked = await referralsWithQuestion(tx, groupId);
  const begun = await secondReadsStarted(tx, groupId);
  const placed = rows
    .map((found) => ({ found, item: itemOf(found, nowMs) }))
    .sort((a, b) => queueOrder(a.item, b.item));
  const out = placed.map(({ found: { row, ...rest }, item }) => ({
    ...rest,
    revision: row.revision,
    actNow: row.actNow,
    ageMonths: row.patientSent?.ageMonths ?? null,
    reasons: queueReasons(item),
    late: item.dueAtMs !== null && item.dueAtMs < item.nowMs,
    mine: row.readerId === memberId || blind.has(row.id),
    paused: row.state === 'images-wanted' && row.urgency !== 'emergency',
    handedToMe:
      row.handedTo === memberId ? { by: row.handedByName ?? '', reason: row.handOverReason ?? '' } : null,
    handedToName: row.handedToName,
    secondReadOpen: row.secondReadWanted && !begun.has(row.id) && row.readerId !== memberId,
    questionOpen: asked.has(row.id),
  }));
  return scope === 'answered' ? out.sort((a, b) => b.updatedAt.localeCompare(a.updatedAt)) : out;
}

/** While images are wanted the clock stands still, so such a case is judged as of the moment it stopped. */
function itemOf({ row }: { row: ReferralRowDb }, nowMs: number): QueueItem {
  return {
    actNow: row.actNow.length > 0,
    urgency: row.urgency ?? 'routine',
    dueAtMs: row.dueAt?.getTime() ?? null,
    sentAtMs: row.sentAt?.getTime() ?? nowMs,
    nowMs: row.urgency === 'emergency' ? nowMs : (row.clockStoppedAt?.getTime() ?? nowMs),
    clinicalWords: row.clinicalWords,
  };
}
