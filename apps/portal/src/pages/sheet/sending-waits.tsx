import type { CaseView, Interpretation } from '@chordae/contract';
import { urgencyThatStands } from '@chordae/interpretation';
import { SENDING_TREAT, saySendingWaits } from '@chordae/words';
import { device, heldBack, refusedSends, useDevice, useLine, useWaitingSend } from '../../host/device';
import { Button } from '../../kit/button';
import { Notice } from '../../kit/notice';
import { Telephones } from './telephones';

/** A referral that was asked for here and that nobody has: what it waits for, whom to telephone, and the way back. */
export function SendingWaits({
  c,
  result,
}: {
  c: CaseView;
  result: Pick<Interpretation, 'urgencyProposed'>;
}) {
  const op = useWaitingSend(c.referral.id);
  const { mine } = useDevice();
  const line = useLine();
  const notTaken = op === null && refusedSends(c.referral.id).length > 0;
  if (!op && !notTaken) return null;
  const { urgencyAsked, urgencyReason, groupName } = c.referral;
  const emergency = urgencyThatStands(urgencyAsked, result.urgencyProposed, urgencyReason) === 'emergency';
  const stopped = op !== null && heldBack(mine, true).has(op.seq);
  const unsigned = op !== null && heldBack(mine).has(op.seq);
  const where = notTaken
    ? 'not-taken'
    : stopped
      ? 'behind'
      : unsigned
        ? 'signature'
        : line === 'down'
          ? 'network'
          : 'turn';
  return (
    <Notice level={emergency ? 'act-now' : 'look'} live>
      <p>
        <b>{saySendingWaits(groupName, where)}</b>
      </p>
      <Telephones
        phone={c.agreement?.groupPhone ?? null}
        groupName={groupName}
        contact={c.agreement?.emergencyContact ?? null}
      />
      {emergency ? <p>{SENDING_TREAT}</p> : null}
      {op ? (
        <p className="row">
          <Button onClick={() => void device.outbox.throwAway(op.seq)}>Take it back</Button>
          <span className="hint">To change something first. All that was entered stays.</span>
        </p>
      ) : null}
    </Notice>
  );
}
