import { useState } from 'react';
import { call } from '../../host/api';
import { useMe } from '../../host/session';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextArea } from '../../kit/field';
import { Loading, Problem } from '../../kit/notice';
import { sayLoad, useReaders } from '../queue/readers-load';
import { type AskProps, useAsk } from './ask-dialogs';

/** To somebody of the group who is named, with what each has on the table beside the name. */
export function HandOverDialog({ c, onClose }: AskProps) {
  const { place, ask, problem } = useAsk({ c, onClose });
  const me = useMe();
  const { data, error } = useReaders(c.referral.groupId ?? '');
  const [to, setTo] = useState<string | null>(null);
  const [reason, setReason] = useState('');
  const others = data?.filter((r) => r.memberId !== c.reader?.memberId && r.memberId !== me?.member.id) ?? [];
  const give = () => {
    if (to === null) return;
    ask(() =>
      call('handOver', { params: place, body: { base: c.referral.revision, toMemberId: to, reason } }),
    );
  };
  return (
    <Dialog title="Hand over" onClose={onClose}>
      <p className="hint">
        It goes back into the queue with your reason, for the person whom you name; if that person does not
        come, anybody may take it. What you wrote and measured goes along.
      </p>
      {error ? <Problem>{error.message}</Problem> : null}
      {data ? null : <Loading what="who reads here" />}
      {data && others.length === 0 ? <p>Nobody else reads in this group.</p> : null}
      <fieldset className="choices choices-tall">
        <legend>To</legend>
        {others.map((r) => (
          <label key={r.memberId} className="tick">
            <input
              type="radio"
              name="hand-over-to"
              checked={to === r.memberId}
              onChange={() => setTo(r.memberId)}
            />
            <span>
              {r.name} <span className="hint">{sayLoad(r)}</span>
            </span>
          </label>
        ))}
      </fieldset>
      <TextArea
        label="Reason"
        rows={2}
        value={reason}
        problem={problem}
        onChange={(e) => setReason(e.target.value)}
      />
      <p className="row">
        <Button look="main" disabled={to === null || reason.trim() === ''} onClick={give}>
          Hand it over
        </Button>
      </p>
    </Dialog>
  );
}
