import type { Sender } from '@chordae/contract';
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { call } from '../../host/api';
import { Loading, Problem } from '../../kit/notice';
import { LearningView } from './learning-view';

/** For the lead: each sender for themselves. By name, so that nobody is put above anybody. */
export function SendersPart({ groupId }: { groupId: string }) {
  const { data, error } = useQuery({
    queryKey: ['senders', groupId],
    queryFn: ({ signal }) => call('listSenders', { params: { groupId }, signal }),
  });
  return (
    <section className="form-part" aria-labelledby="senders">
      <h2 id="senders">Feedback to who scans</h2>
      <p>
        Each person sees their own; you see it to help, one at a time. It says how views were judged here, not
        how good anybody is: patients and machines differ.
      </p>
      {error ? <Problem>{error.message}</Problem> : null}
      {data?.length === 0 ? <p className="empty">Nobody has sent a scan yet.</p> : null}
      {data?.map((sender) => (
        <OfSender key={sender.memberId} groupId={groupId} sender={sender} />
      ))}
    </section>
  );
}

function OfSender({ groupId, sender }: { groupId: string; sender: Sender }) {
  const [open, setOpen] = useState(false);
  const { data, error } = useQuery({
    queryKey: ['sender-learning', groupId, sender.memberId],
    queryFn: ({ signal }) =>
      call('senderLearning', { params: { groupId, memberId: sender.memberId }, signal }),
    enabled: open,
  });
  const cases = sender.answeredCases === 1 ? '1 answered case' : `${sender.answeredCases} answered cases`;
  return (
    <details onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>
        {sender.name} <span className="hint">{cases}</span>
      </summary>
      <div className="stack sender-learning">
        {error ? <Problem>{error.message}</Problem> : null}
        {data ? <LearningView learning={data} /> : open && !error ? <Loading what="what was judged" /> : null}
      </div>
    </details>
  );
}
