import { useMemo, useSyncExternalStore } from 'react';
import { lastWhere } from '../last-where';
import type { Op } from './kept';
import { device } from './start';
import { useOps } from './use-device';

const isMySend = (op: Op) => op.route === 'sendReferral' && op.memberId === device.member()?.member.id;

/** A referral that waits on this device to be sent; not while its own dialog waits for the server's answer. */
function waitingSend(referralId: string): Op | null {
  const op = lastWhere(
    device.outbox.read(),
    (o) => isMySend(o) && o.state === 'waiting' && o.params['referralId'] === referralId,
  );
  return op && !device.outbox.isWatched(op.id) ? op : null;
}

/** The sending of this referral that waits here; null where none does. */
export function useWaitingSend(referralId: string): Op | null {
  return useSyncExternalStore(device.outbox.subscribe, () => waitingSend(referralId));
}

/** Referrals that were asked for here and have not reached the server, waiting or refused: nobody has them. */
export function useUnsentSends(): ReadonlySet<string> {
  const ops = useOps();
  return useMemo(() => new Set(ops.filter(isMySend).map((o) => o.params['referralId'] ?? '')), [ops]);
}

/** Sendings of this referral that the server would not take: a newer one takes their place. */
export function refusedSends(referralId: string): readonly Op[] {
  return device.outbox
    .read()
    .filter((o) => isMySend(o) && o.state === 'refused' && o.params['referralId'] === referralId);
}
