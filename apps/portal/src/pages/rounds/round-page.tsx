import type { Round, Visit } from '@chordae/contract';
import { useParams } from '@tanstack/react-router';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { rowOf } from '../../host/device';
import { practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { usePatchQueue } from '../../host/use-patch-queue';
import { AsOf } from '../../kit/as-of';
import { Button } from '../../kit/button';
import { PageOff } from '../../kit/failed';
import { TextArea } from '../../kit/field';
import { CautionLine, Loading, Notice, Problem } from '../../kit/notice';
import { Conflicts, SavedState } from '../../kit/saved';
import { sayDay } from '../../kit/time';
import '../../styles/rounds.css';
import '../../styles/sheet.css';
import { AddPatientDialog } from './add-patient-dialog';
import { CloseDayDialog } from './close-day-dialog';
import { PasteDialog } from './paste-dialog';
import { RequestsDialog, useOpenRequests } from './requests-dialog';
import { sayDayCount, stageOf } from './say-visit';
import { StickOfDay } from './stick-of-day';
import { useRoundKeys } from './use-round-keys';
import { byPractice, patchVisit, useRereadRounds, useRound } from './use-rounds';
import { VisitRow } from './visit-row';

/** One day: practices in order, patients in order, what is done and what is open. */
export function RoundPage() {
  const { roundId } = useParams({ from: '/members/in-shell/rounds/$roundId' });
  const { data, error, refetch } = useRound(roundId);
  useTitle(data ? `Round of ${sayDay(data.day)}` : 'Round');
  if (!data && error) return <PageOff title="This round cannot be shown" error={error} again={refetch} />;
  if (!data)
    return (
      <div className="page">
        <Loading what="the round" />
      </div>
    );
  return <Day key={data.id} round={data} />;
}

type Open = 'paste' | 'requests' | 'add' | 'close' | null;

function Day({ round }: { round: Round }) {
  const me = useMe();
  const practices = practicesOf(me);
  const nameOf = (id: string) => practices.find((p) => p.id === id)?.name ?? 'A practice';
  const reread = useRereadRounds();
  const requests = useOpenRequests(round);
  const [open, setOpen] = useState<Open>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const list = useRef<HTMLDivElement>(null);
  const closed = round.closedAt !== null;
  const groups = byPractice(round);
  const left = round.practiceOrder.filter((id) => !practices.some((p) => p.id === id)).length;
  const text = usePatchQueue(
    round.revision,
    (patch) => call('patchRound', { params: { roundId: round.id }, body: patch }),
    reread,
    rowOf.round(round.id),
  );
  useRoundKeys(
    list,
    {
      add: () => setOpen('add'),
      paste: () => setOpen('paste'),
      close: () => round.visits.length > 0 && setOpen('close'),
    },
    open === null && !closed,
  );
  const nextToScan =
    round.visits.length > 0 && !closed
      ? groups.flatMap(([, v]) => v).find((v) => stageOf(v) === 'planned')?.id
      : undefined;
  const run = (work: Promise<unknown>) =>
    work
      .then(() => setProblem(null))
      .catch((e: unknown) => setProblem(sentenceOf(e)))
      .finally(() => void reread());
  const move = (visit: Visit, by: -1 | 1) => {
    const here = groups.find(([id]) => id === visit.practiceId)?.[1] ?? [];
    const at = here.findIndex((v) => v.id === visit.id);
    const other = here[at + by];
    if (!other) return;
    void run(
      Promise.all([
        patchVisit(visit, { position: other.position }),
        patchVisit(other, { position: visit.position }),
      ]),
    );
  };
  const movePractice = (practiceId: string, by: -1 | 1) => {
    const order = groups.map(([id]) => id);
    const at = order.indexOf(practiceId);
    const other = order[at + by];
    if (!other) return;
    [order[at], order[at + by]] = [other, practiceId];
    text.queue.set({ practiceOrder: order });
  };
  const reopen = () => run(call('closeRound', { params: { roundId: round.id }, body: { open: true } }));
  return (
    <div className="page round">
      <div className="head-row">
        <div>
          <h1>{sayDay(round.day)}</h1>
          {round.title ? <p>{round.title}</p> : null}
          <p className="day-count" role="status">
            {sayDayCount(round.visits)}
            {closed ? ' Closed.' : ''}
          </p>
          <AsOf route="getRound" params={{ roundId: round.id }} />
        </div>
        {closed ? (
          <Button onClick={() => void reopen()}>Open the day again</Button>
        ) : (
          <SavedState views={[text]} roundId={round.id} />
        )}
      </div>
      {closed ? null : (
        <p className="row round-adds">
          <Button
            look={round.visits.length === 0 ? 'main' : 'plain'}
            keyHint="p"
            onClick={() => setOpen('paste')}
          >
            Paste a list
          </Button>
          <Button keyHint="n" onClick={() => setOpen('add')}>
            Add a patient
          </Button>
          {requests.length > 0 ? (
            <Button onClick={() => setOpen('requests')}>{requests.length} asked for by practices</Button>
          ) : null}
        </p>
      )}
      {problem ? <Problem>{problem}</Problem> : null}
      {left > 0 ? (
        <Notice level="look">
          {left === 1 ? 'One practice' : `${left} practices`} of this round {left === 1 ? 'is' : 'are'} no
          longer yours: what was planned there is with the practice and is not shown.
        </Notice>
      ) : null}
      <Conflicts
        conflicts={text.conflicts}
        nameOf={(f) =>
          f === 'note' ? 'the note' : f === 'title' ? 'the name' : 'the order of the practices'
        }
        onResolve={text.queue.resolve}
      />
      {round.visits.length === 0 ? (
        <p className="empty">
          Nobody is on this round yet. Paste the day's list, or add patients one by one.
        </p>
      ) : null}
      <div ref={list}>
        {groups.map(([practiceId, visits], i) => (
          <section key={practiceId} aria-labelledby={`at-${practiceId}`} className="stop">
            <div className="stop-head">
              <h2 id={`at-${practiceId}`}>{nameOf(practiceId)}</h2>
              <p className="hint">
                {visits.filter((v) => stageOf(v) === 'done').length} of {visits.length} done
              </p>
              {groups.length > 1 && !closed ? (
                <span className="row">
                  <Button
                    look="quiet"
                    disabled={i === 0}
                    aria-label={`${nameOf(practiceId)} earlier in the day`}
                    onClick={() => movePractice(practiceId, -1)}
                  >
                    Earlier
                  </Button>
                  <Button
                    look="quiet"
                    disabled={i === groups.length - 1}
                    aria-label={`${nameOf(practiceId)} later in the day`}
                    onClick={() => movePractice(practiceId, 1)}
                  >
                    Later
                  </Button>
                </span>
              ) : null}
            </div>
            <ol className="visits">
              {visits.map((visit) => (
                <VisitRow
                  key={visit.id}
                  visit={visit}
                  day={round.day}
                  practiceName={nameOf(practiceId)}
                  closed={closed}
                  next={visit.id === nextToScan}
                  onMove={(by) => move(visit, by)}
                  onChanged={reread}
                />
              ))}
            </ol>
          </section>
        ))}
      </div>
      {closed || round.visits.length === 0 ? null : <StickOfDay round={round} nameOf={nameOf} />}
      <TextArea
        label="Note for the day"
        rows={2}
        disabled={closed}
        value={(text.own['note'] as string | undefined) ?? round.note}
        onChange={(e) => text.queue.set({ note: e.target.value })}
      />
      {!closed && round.visits.length > 0 ? (
        <p className="row">
          <Button look="main" keyHint="c" onClick={() => setOpen('close')}>
            Close the day
          </Button>
          <span className="hint">Shows what is still open, and settles it in one go.</span>
        </p>
      ) : null}
      <CautionLine />
      {open === 'paste' ? (
        <PasteDialog round={round} practices={practices} onClose={() => setOpen(null)} onDone={reread} />
      ) : null}
      {open === 'add' ? (
        <AddPatientDialog round={round} practices={practices} onClose={() => setOpen(null)} onDone={reread} />
      ) : null}
      {open === 'requests' ? (
        <RequestsDialog round={round} requests={requests} onClose={() => setOpen(null)} onDone={reread} />
      ) : null}
      {open === 'close' ? (
        <CloseDayDialog round={round} nameOf={nameOf} onClose={() => setOpen(null)} onDone={reread} />
      ) : null}
    </div>
  );
}
