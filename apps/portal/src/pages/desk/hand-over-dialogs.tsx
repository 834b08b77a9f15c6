import type { CaseView } from '@chordae/contract';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useMe } from '../../host/session';
import { useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextArea } from '../../kit/field';
import { Loading, Problem } from '../../kit/notice';
import { sayLoad, useReaders } from '../queue/readers-load';

interface Props {
  readonly c: CaseView;
  readonly onClose: () => void;
}

/** To somebody of the group who is named, with what each has on the table beside the name. */
export function HandOverDialog({ c, onClose }: Props) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const me = useMe();
  const { data, error } = useReaders(c.referral.groupId);
  const [to, setTo] = useState<string | null>(null);
  const [reason, setReason] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const others = data?.filter((r) => r.memberId !== c.reader?.memberId && r.memberId !== me?.member.id) ?? [];
  const give = () => {
    if (to === null) return;
    setProblem(null);
    call('handOver', { params: place, body: { base: c.referral.revision, toMemberId: to, reason } })
      .then(reread)
      .then(onClose)
      .catch((e: unknown) => {
        setProblem(sentenceOf(e));
        void reread();
      });
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

/** What somebody else has open, with all that is written. */
export function TakeOverDialog({ c, onClose }: Props) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [reason, setReason] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  return (
    <Dialog title="Take over" onClose={onClose}>
      <p>
        {c.reader?.name} reads it now and will be told that you have it. You go on with everything that was
        written and measured.
      </p>
      <TextArea
        label="Reason"
        rows={2}
        value={reason}
        problem={problem}
        onChange={(e) => setReason(e.target.value)}
      />
      <p className="row">
        <Button
          look="main"
          disabled={reason.trim() === ''}
          onClick={() => {
            setProblem(null);
            call('takeOver', { params: place, body: { base: c.referral.revision, reason } })
              .then(reread)
              .then(onClose)
              .catch((e: unknown) => {
                setProblem(sentenceOf(e));
                void reread();
              });
          }}
        >
          Take it over
        </Button>
      </p>
    </Dialog>
  );
}
