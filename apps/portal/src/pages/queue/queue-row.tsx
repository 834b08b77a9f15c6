import type { QueueRow } from '@chordae/contract';
import { planNames, sayQueuePlace, sayReferralState } from '@chordae/words';
import { Link, useNavigate } from '@tanstack/react-router';
import { useRef, useState } from 'react';
import { ApiError, call, sentenceOf } from '../../host/api';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { sayDue } from '../../kit/time';
import { sayPatientShort } from '../say-patient';

/** One referral: who, why it stands here, by when, and the one thing to do. */
export function Row({ row, now }: { row: QueueRow; now: number }) {
  const weight =
    row.actNow.length > 0 || row.urgency === 'emergency' ? 'act-now' : row.late ? 'look' : 'note';
  const params = { practiceId: row.practiceId, referralId: row.id };
  return (
    <li className={`queue-row notice-${weight}`}>
      <div className="queue-main">
        <p className="queue-name">
          <Link to="/desk/$practiceId/$referralId" params={params} className="queue-link">
            {row.patientName}
          </Link>{' '}
          <span className="hint">{sayPatientShort(row)}</span>
        </p>
        <p>{planNames[row.plan]}</p>
        <p className="queue-why">{sayQueuePlace(whyHere(row))}</p>
        <Marks row={row} />
        <p className="hint">
          {row.practiceName}, referral {row.number} · {row.clipCount} {row.clipCount === 1 ? 'clip' : 'clips'}
          {row.readerName ? ` · ${row.readerName} reads` : ''}
        </p>
      </div>
      <div className="queue-side">
        <p className="queue-due">{sayWhen(row, now)}</p>
        <Act row={row} />
      </div>
    </li>
  );
}

/** The time left stands beside it and runs: said twice, the two would differ by a minute. */
function whyHere(row: QueueRow): QueueRow['reasons'] {
  return row.paused ? row.reasons : row.reasons.filter(({ code }) => code !== 'DUE' && code !== 'LATE');
}

function sayWhen(row: QueueRow, now: number): string {
  if (row.paused) return 'images wanted: the clock stands still';
  if (row.state === 'sent' || row.state === 'reading' || row.state === 'images-wanted')
    return row.dueAt ? sayDue(row.dueAt, now) : 'no target';
  return sayReferralState(row.state).name;
}

/** What people did or ask, apart from the computed place. */
function Marks({ row }: { row: QueueRow }) {
  const marks = [
    row.handedToMe ? `Handed to you by ${row.handedToMe.by}: ${row.handedToMe.reason}` : null,
    row.handedToName && !row.handedToMe ? `Handed to ${row.handedToName}, not taken yet` : null,
    row.questionOpen ? 'The practice has written and waits for an answer' : null,
    row.secondReadOpen ? 'A second, blind read is wanted' : null,
  ].filter((m) => m !== null);
  return marks.length === 0 ? null : (
    <ul className="queue-marks">
      {marks.map((mark) => (
        <li key={mark}>{mark}</li>
      ))}
    </ul>
  );
}

function Act({ row }: { row: QueueRow }) {
  const go = useNavigate();
  const [problem, setProblem] = useState<string | null>(null);
  const params = { practiceId: row.practiceId, referralId: row.id };
  const open = () => go({ to: '/desk/$practiceId/$referralId', params });
  const run = (work: () => Promise<unknown>) => {
    setProblem(null);
    work()
      .then(open)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  };
  const takeAsOf = (base: number) => call('takeReferral', { params, body: { base } });
  /** As the row shows it; where something has come to it since, as it stands now. */
  const take = async () => {
    await takeAsOf(row.revision).catch(async (error: unknown) => {
      if (!(error instanceof ApiError && error.code === 'REVISION_STALE')) throw error;
      await takeAsOf((await call('getCase', { params })).referral.revision);
    });
  };
  // The same id at every press: a lost reply must not start two reads.
  const secondId = useRef(uuidv7());
  const readSecond = () =>
    call('startSecondRead', { params: { ...params, secondId: secondId.current }, body: {} });
  return (
    <>
      {row.state === 'sent' ? (
        <Button look="main" onClick={() => run(take)} aria-label={`Take ${row.patientName}`} data-act="take">
          Take
        </Button>
      ) : (
        <Button onClick={() => void open()} aria-label={`Open ${row.patientName}`}>
          Open
        </Button>
      )}
      {row.secondReadOpen ? (
        <Button
          look="quiet"
          onClick={() => run(readSecond)}
          aria-label={`Read ${row.patientName} a second time, blind`}
        >
          Second read
        </Button>
      ) : null}
      {problem ? (
        <p className="problem" role="alert">
          {problem}
        </p>
      ) : null}
    </>
  );
}
