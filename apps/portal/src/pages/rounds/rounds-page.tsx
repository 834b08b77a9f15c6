import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate } from '@tanstack/react-router';
import type { FormEvent } from 'react';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { maySend, practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { uuidv7 } from '../../host/uuid';
import { AsOf } from '../../kit/as-of';
import { Button } from '../../kit/button';
import { Failed } from '../../kit/failed';
import { TextField } from '../../kit/field';
import { Loading, Problem } from '../../kit/notice';
import { sayDay, today } from '../../kit/time';
import '../../styles/rounds.css';
import { roundsQuery, useRereadRounds } from './use-rounds';

/** One's days: today's first, a new one in one line. */
export function RoundsPage() {
  useTitle('Rounds');
  const { data, error, refetch } = useQuery(roundsQuery);
  const scans = practicesOf(useMe()).some(maySend);
  const now = today();
  const open = data?.filter((r) => r.closedAt === null) ?? [];
  const closed = data?.filter((r) => r.closedAt !== null) ?? [];
  return (
    <div className="page">
      <h1>Rounds</h1>
      <AsOf route="listRounds" params={{}} />
      {scans ? <NewRound /> : <p className="hint">A round is made by who scans in a practice.</p>}
      {error ? <Failed error={error} again={refetch} /> : null}
      {!data && !error ? <Loading what="your rounds" /> : null}
      {data?.length === 0 && scans ? <p className="empty">No round yet. Open one for a day above.</p> : null}
      {open.length > 0 ? (
        <section aria-labelledby="rounds-open">
          <h2 id="rounds-open">Open</h2>
          <Days rows={open} now={now} />
        </section>
      ) : null}
      {closed.length > 0 ? (
        <section aria-labelledby="rounds-closed">
          <h2 id="rounds-closed">Closed</h2>
          <Days rows={closed} now={now} />
        </section>
      ) : null}
    </div>
  );
}

type Rows = Awaited<ReturnType<NonNullable<typeof roundsQuery.queryFn>>>;

function Days({ rows, now }: { rows: Rows; now: string }) {
  return (
    <ol className="days">
      {rows.map((r) => (
        <li key={r.id} className="day-row">
          <div>
            <Link to="/rounds/$roundId" params={{ roundId: r.id }}>
              {r.day === now ? `Today, ${sayDay(r.day)}` : sayDay(r.day)}
            </Link>
            {r.title ? <p>{r.title}</p> : null}
          </div>
          <p className="hint">{r.practices.join(', ')}</p>
          <p className="day-count">{r.visits === 0 ? 'nobody on it yet' : `${r.done} of ${r.visits} done`}</p>
        </li>
      ))}
    </ol>
  );
}

function NewRound() {
  const go = useNavigate();
  const reread = useRereadRounds();
  const [day, setDay] = useState(today());
  const [title, setTitle] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  // Made once: a request repeated after a lost reply opens no second round.
  const id = useRef(uuidv7());
  const submit = async (event: FormEvent) => {
    event.preventDefault();
    setProblem(null);
    if (day === '') return setProblem('Choose the day of the round.');
    try {
      await call('putRound', { params: { roundId: id.current }, body: { day, title: title.trim() } });
      await reread();
      await go({ to: '/rounds/$roundId', params: { roundId: id.current } });
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <form className="new-round" onSubmit={(e) => void submit(e)} noValidate>
      <TextField label="Day" type="date" value={day} onChange={(e) => setDay(e.target.value)} />
      <TextField
        label="Name of the round, if it helps"
        value={title}
        maxLength={120}
        onChange={(e) => setTitle(e.target.value)}
      />
      <Button type="submit" look="main">
        Open a round
      </Button>
      {problem ? <Problem>{problem}</Problem> : null}
    </form>
  );
}
