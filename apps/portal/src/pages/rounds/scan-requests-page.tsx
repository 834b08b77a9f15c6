import { EMPTY_PLANNED, type Organisation, type ScanRequest } from '@chordae/contract';
import { useQuery, useQueryClient } from '@tanstack/react-query';
import type { FormEvent } from 'react';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { maySend, practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Failed, NoPractice } from '../../kit/failed';
import { Choices, TextArea, TextField } from '../../kit/field';
import { Loading, Problem } from '../../kit/notice';
import { sayDay, sayMoment, today } from '../../kit/time';
import '../../styles/rounds.css';
import { PlanChoice } from '../referrals/plan-choice';
import { readList } from './read-list';

/** What a practice asks its visiting sonographer to scan, and who has taken it up. */
export function ScanRequestsPage() {
  useTitle('Ask for a scan');
  const practices = practicesOf(useMe());
  return (
    <div className="page">
      <h1>Ask for a scan</h1>
      <p className="hint">
        The visiting sonographer of your practice sees it and puts it on a round. A patient in distress does
        not wait for a round: treat it, and send what you can scan yourself.
      </p>
      {practices.length === 0 ? <NoPractice /> : null}
      {practices.map((p) => (
        <OfPractice key={p.id} practice={p} />
      ))}
    </div>
  );
}

function OfPractice({ practice }: { practice: Organisation }) {
  const { data, error, refetch } = useQuery({
    queryKey: ['scan-requests', practice.id],
    queryFn: () => call('listRequests', { params: { practiceId: practice.id } }),
  });
  const open = data?.filter((r) => r.takenAt === null) ?? [];
  const taken = data?.filter((r) => r.takenAt !== null) ?? [];
  return (
    <section className="form-part" aria-labelledby={`ask-${practice.id}`}>
      <h2 id={`ask-${practice.id}`}>{practice.name}</h2>
      {maySend(practice) ? <Ask practice={practice} /> : null}
      {error ? <Failed error={error} again={refetch} /> : null}
      {!data && !error ? <Loading what="what was asked for" /> : null}
      {data?.length === 0 ? <p className="empty">Nothing is asked for at the moment.</p> : null}
      <ul className="patients">
        {open.map((r) => (
          <Row key={r.id} request={r} practice={practice} />
        ))}
      </ul>
      {taken.length > 0 ? (
        <details>
          <summary>{taken.length} on a round since</summary>
          <ul className="patients">
            {taken.map((r) => (
              <Row key={r.id} request={r} practice={practice} />
            ))}
          </ul>
        </details>
      ) : null}
    </section>
  );
}

function Row({ request: r, practice }: { request: ScanRequest; practice: Organisation }) {
  const client = useQueryClient();
  const [problem, setProblem] = useState<string | null>(null);
  const takeBack = async () => {
    try {
      await call('withdrawRequest', { params: { practiceId: practice.id, requestId: r.id }, body: {} });
    } catch (error) {
      setProblem(sentenceOf(error));
    }
    await client.invalidateQueries({ queryKey: ['scan-requests', practice.id] });
  };
  return (
    <li>
      <span>
        <b>{r.planned.name}</b>{' '}
        <span className="hint">
          {r.wantedOn ? `wanted by ${sayDay(r.wantedOn)}, ` : ''}
          {r.takenBy && r.takenAt
            ? `on the round of ${r.takenBy} since ${sayMoment(r.takenAt)}`
            : `asked by ${r.askedBy} ${sayMoment(r.askedAt)}`}
          {r.planned.question ? `: ${r.planned.question}` : ''}
        </span>
        {problem ? <Problem>{problem}</Problem> : null}
      </span>
      {r.takenAt === null && maySend(practice) ? (
        <Button look="quiet" aria-label={`Take back ${r.planned.name}`} onClick={() => void takeBack()}>
          Take back
        </Button>
      ) : null}
    </li>
  );
}

function Ask({ practice }: { practice: Organisation }) {
  const client = useQueryClient();
  const [line, setLine] = useState('');
  const [chosen, setChosen] = useState<{ id: string; name: string } | null>(null);
  const [plan, setPlan] = useState<(typeof EMPTY_PLANNED)['plan']>(null);
  const [question, setQuestion] = useState('');
  const [wantedOn, setWantedOn] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const id = useRef(uuidv7());
  const wanted = line.trim();
  const { data } = useQuery({
    queryKey: ['patients', practice.id, wanted],
    queryFn: () => call('listPatients', { params: { practiceId: practice.id }, query: { find: wanted } }),
    enabled: wanted.length > 1 && chosen === null,
  });
  const planned = () => {
    const read = readList(wanted, [], new Date(), practice.id)[0]?.planned ?? EMPTY_PLANNED;
    const words = [question.trim(), read.question].filter((t) => t !== '').join(' ');
    return { ...read, name: chosen?.name ?? read.name, plan, question: words };
  };
  const submit = async (event: FormEvent) => {
    event.preventDefault();
    setProblem(null);
    if (wanted === '' && !chosen) return setProblem('Say which patient shall be scanned.');
    try {
      await call('putRequest', {
        params: { practiceId: practice.id, requestId: id.current },
        body: { patientId: chosen?.id ?? null, planned: planned(), wantedOn: wantedOn || null },
      });
      id.current = uuidv7();
      setLine('');
      setChosen(null);
      setQuestion('');
      setPlan(null);
      await client.invalidateQueries({ queryKey: ['scan-requests', practice.id] });
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <form className="stack" onSubmit={(e) => void submit(e)} noValidate>
      <TextField
        label="Patient: name, number or chip; or a line such as: Nimbus, cat, 4.2 kg"
        wide
        value={chosen ? chosen.name : line}
        onChange={(e) => {
          setChosen(null);
          setLine(e.target.value);
        }}
      />
      {data && data.length > 0 && !chosen ? (
        <Choices
          label="Known at this practice"
          choices={data.slice(0, 6).map((p) => [p.id, `${p.name}, number ${p.number}`] as const)}
          value={null}
          onChoose={(to) => {
            const p = data.find((row) => row.id === to);
            if (p) setChosen({ id: p.id, name: p.name });
          }}
        />
      ) : null}
      <PlanChoice plan={plan} species="" onChoose={setPlan} />
      <TextArea
        label="In your words"
        rows={2}
        value={question}
        onChange={(e) => setQuestion(e.target.value)}
      />
      <div className="form-grid">
        <TextField
          label="Wanted by, if there is a day"
          type="date"
          min={today()}
          value={wantedOn}
          onChange={(e) => setWantedOn(e.target.value)}
        />
      </div>
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        <Button type="submit" look="main">
          Ask for the scan
        </Button>
      </p>
    </form>
  );
}
