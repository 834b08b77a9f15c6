import { device, type Op } from '../../host/device';
import { lastWhere } from '../../host/last-where';
import { type PendingSignature, providePendingSignatures } from './pending-signature';

/** One object for one op, so that a page is not told of a change that is none. */
const made = new WeakMap<Op, PendingSignature>();

function pendingOf(op: Op): PendingSignature {
  const there = made.get(op);
  if (there) return there;
  const body = op.body as { signedId: string; deviceSignedAt: string | null };
  const pending = {
    signedId: body.signedId,
    deviceSignedAt: body.deviceSignedAt ?? op.saidAt,
    refused: op.state === 'refused' ? op.says : null,
  };
  made.set(op, pending);
  return pending;
}

/** Signatures that wait in the outbox of this device are known to the pages of their cases. */
export function showPendingSignatures(): void {
  providePendingSignatures({
    subscribe: device.outbox.subscribe,
    read: (referralId) => {
      const memberId = device.member()?.member.id;
      const op = lastWhere(
        device.outbox.read(),
        (o) => o.route === 'signReport' && o.memberId === memberId && o.params['referralId'] === referralId,
      );
      // While its own dialog waits for the answer, nothing is pending yet.
      return op && !device.outbox.isWatched(op.id) ? pendingOf(op) : null;
    },
  });
}
