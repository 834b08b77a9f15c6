import type { Round, Visit } from '@chordae/contract';
import { Link } from '@tanstack/react-router';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useUnsentSends } from '../../host/device';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextField } from '../../kit/field';
import { Problem } from '../../kit/notice';
import { sayStage, stageOf } from './say-visit';
import { inOrder, patchVisit } from './use-rounds';

/** The day after a day: where what was not reached goes unless somebody says another day. */
function dayAfter(day: string): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) + 86_400_000).toISOString().slice(0, 10);
}

/**
 * A day's work closed in one go: what was not reached moves to another day with all that was written; scans that are
 * still open are named with what they lack, and nothing about them is settled by itself.
 */
export function CloseDayDialog({
  round,
  nameOf,
  onClose,
  onDone,
}: {
  round: Round;
  nameOf: (practiceId: string) => string;
  onClose: () => void;
  onDone: () => Promise<void>;
}) {
  const all = inOrder(round);
  const planned = all.filter((v) => stageOf(v) === 'planned');
  const open = all.filter((v) => stageOf(v) === 'open');
  const [day, setDay] = useState(dayAfter(round.day));
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const asked = useUnsentSends();
  const ids = useRef(new Map<string, string>());
  const idFor = (key: string): string => {
    const there = ids.current.get(key) ?? uuidv7();
    ids.current.set(key, there);
    return there;
  };
  const close = async () => {
    setBusy(true);
    try {
      if (planned.length > 0) await moveTo(day, planned, idFor(`round-${day}`), round);
      await call('closeRound', { params: { roundId: round.id }, body: { open: false } });
      await onDone();
      onClose();
    } catch (error) {
      setProblem(sentenceOf(error));
      await onDone();
    } finally {
      setBusy(false);
    }
  };
  return (
    <Dialog title="Close the day" onClose={onClose} wide>
      <div className="stack">
        {open.length > 0 ? (
          <section aria-labelledby="close-open">
            <h3 id="close-open">Still open: {open.length}</h3>
            <ul className="patients">
              {open.map((v) => (
                <li key={v.id}>
                  <span>
                    <b>{v.patientName ?? v.planned.name}</b>, {nameOf(v.practiceId)}.{' '}
                    <span className="hint">{sayStage(v, asked.has(v.referralId ?? ''))}</span>
                  </span>
                  {v.referralId ? (
                    <Link
                      className="button button-plain"
                      to="/p/$practiceId/r/$referralId"
                      params={{ practiceId: v.practiceId, referralId: v.referralId }}
                    >
                      Open
                    </Link>
                  ) : null}
                </li>
              ))}
            </ul>
            <p className="hint">
              Sign its report or pass it up, and wait until its files have arrived: then the day can be
              closed.
            </p>
          </section>
        ) : null}
        {planned.length > 0 ? (
          <section aria-labelledby="close-planned" className="stack">
            <h3 id="close-planned">Not reached: {planned.length}</h3>
            <p>{planned.map((v) => `${v.planned.name} (${nameOf(v.practiceId)})`).join(', ')}</p>
            <TextField
              label="Move to the round of"
              type="date"
              value={day}
              min={dayAfter(round.day)}
              onChange={(e) => setDay(e.target.value)}
            />
          </section>
        ) : null}
        {open.length === 0 && planned.length === 0 ? <p>Everything of this day is done.</p> : null}
        {problem ? <Problem>{problem}</Problem> : null}
        <p className="row">
          <Button
            look="main"
            keyHint="Ctrl Enter"
            disabled={busy || open.length > 0 || (planned.length > 0 && day <= round.day)}
            onClick={() => void close()}
          >
            {planned.length > 0 ? 'Move these and close the day' : 'Close the day'}
          </Button>
        </p>
      </div>
    </Dialog>
  );
}

/** Onto the open round of that day, or a new one; what was written about each goes along. */
async function moveTo(day: string, visits: readonly Visit[], newId: string, from: Round): Promise<void> {
  const there = (await call('listRounds', {})).find((r) => r.day === day && r.closedAt === null);
  const roundId = there?.id ?? newId;
  if (!there) await call('putRound', { params: { roundId }, body: { day, title: from.title } });
  for (const visit of visits) await patchVisit(visit, { roundId });
}
