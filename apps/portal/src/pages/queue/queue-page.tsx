import type { QueueRow } from '@chordae/contract';
import { planNames, sayQueuePlace, sayReferralState } from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate } from '@tanstack/react-router';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { groupsOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { Button } from '../../kit/button';
import { CautionLine, Loading, Problem } from '../../kit/notice';
import { sayDue, useNow } from '../../kit/time';
import { sayPatientShort } from '../say-patient';

type Scope = 'open' | 'mine' | 'answered';
const SCOPES: readonly (readonly [Scope, string])[] = [
  ['open', 'Open'],
  ['mine', 'Mine'],
  ['answered', 'Answered'],
];

/** The cardiologists' queue: each place with its reason. */
export function QueuePage() {
  useTitle('Queue');
  const groups = groupsOf(useMe());
  const [scope, setScope] = useState<Scope>('open');
  return (
    <div className="page">
      <div className="head-row">
        <h1>Queue</h1>
        <div className="segments" role="group" aria-label="Which referrals">
          {SCOPES.map(([id, words]) => (
            <button key={id} type="button" aria-pressed={scope === id} onClick={() => setScope(id)}>
              {words}
            </button>
          ))}
        </div>
      </div>
      {groups.map((group) => (
        <GroupQueue key={group.id} groupId={group.id} name={group.name} scope={scope} />
      ))}
      <CautionLine />
    </div>
  );
}

const EMPTY: Record<Scope, string> = {
  open: 'Nobody is waiting in this queue just now.',
  mine: 'You have no referral open.',
  answered: 'No answered referral yet.',
};

function GroupQueue({ groupId, name, scope }: { groupId: string; name: string; scope: Scope }) {
  const { data, error, isPending } = useQuery({
    queryKey: ['queue', groupId, scope],
    queryFn: () => call('queue', { params: { groupId }, query: { scope } }),
    refetchInterval: 60_000,
  });
  return (
    <section aria-labelledby={`q-${groupId}`}>
      <h2 id={`q-${groupId}`} className="quiet-head">
        {name}
        {data ? ` · ${data.length} ${data.length === 1 ? 'referral' : 'referrals'}` : ''}
      </h2>
      {error ? <Problem>{error.message}</Problem> : null}
      {isPending ? <Loading what="the queue" /> : null}
      {data?.length === 0 ? <p className="empty">{EMPTY[scope]}</p> : null}
      <ol className="queue">
        {data?.map((row) => (
          <Row key={row.id} row={row} />
        ))}
      </ol>
    </section>
  );
}

function Row({ row }: { row: QueueRow }) {
  const now = useNow();
  const weight =
    row.actNow.length > 0 || row.urgency === 'emergency' ? 'act-now' : row.late ? 'look' : 'note';
  const params = { practiceId: row.practiceId, referralId: row.id };
  return (
    <li className={`queue-row notice-${weight}`}>
      <div className="queue-main">
        <p className="queue-name">
          <Link to="/desk/$practiceId/$referralId" params={params}>
            {row.patientName}
          </Link>{' '}
          <span className="hint">{sayPatientShort(row)}</span>
        </p>
        <p>{planNames[row.plan]}</p>
        <p className="queue-why">{sayQueuePlace(row.reasons)}</p>
        <p className="hint">
          {row.practiceName}, referral {row.number} · {row.clipCount} {row.clipCount === 1 ? 'clip' : 'clips'}
          {row.readerName ? ` · ${row.readerName} reads` : ''}
        </p>
      </div>
      <div className="queue-side">
        <p className="queue-due">
          {row.state === 'sent' || row.state === 'reading'
            ? row.dueAt
              ? sayDue(row.dueAt, now)
              : 'no target'
            : sayReferralState(row.state).name}
        </p>
        <Take row={row} />
      </div>
    </li>
  );
}

function Take({ row }: { row: QueueRow }) {
  const go = useNavigate();
  const [problem, setProblem] = useState<string | null>(null);
  const params = { practiceId: row.practiceId, referralId: row.id };
  const open = () => go({ to: '/desk/$practiceId/$referralId', params });
  const take = async () => {
    setProblem(null);
    try {
      const now = await call('getCase', { params });
      await call('takeReferral', { params, body: { base: now.referral.revision } });
      await open();
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  if (row.state !== 'sent') {
    return (
      <Button onClick={() => void open()} aria-label={`Open ${row.patientName}`}>
        Open
      </Button>
    );
  }
  return (
    <>
      <Button look="main" onClick={() => void take()} aria-label={`Take ${row.patientName}`}>
        Take
      </Button>
      {problem ? (
        <p className="problem" role="alert">
          {problem}
        </p>
      ) : null}
    </>
  );
}
