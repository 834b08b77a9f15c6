import type { Round, ScanRequest } from '@chordae/contract';
import { useQueries } from '@tanstack/react-query';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { maySend, practicesOf, useMe } from '../../host/session';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { Problem } from '../../kit/notice';
import { sayDay, sayMoment } from '../../kit/time';
import { addVisits } from './use-rounds';

/** Scans that practices ask for and nobody has taken up: those wanted by this day first. */
export function useOpenRequests(round: Round): ScanRequest[] {
  const practices = practicesOf(useMe()).filter(maySend);
  const lists = useQueries({
    queries: practices.map((p) => ({
      queryKey: ['scan-requests', p.id],
      queryFn: () => call('listRequests', { params: { practiceId: p.id } }),
    })),
  });
  return lists
    .flatMap((l) => l.data ?? [])
    .filter((r) => r.takenAt === null)
    .sort((a, b) => (a.wantedOn ?? round.day).localeCompare(b.wantedOn ?? round.day));
}

export function RequestsDialog({
  round,
  requests,
  onClose,
  onDone,
}: {
  round: Round;
  requests: readonly ScanRequest[];
  onClose: () => void;
  onDone: () => Promise<void>;
}) {
  const practices = practicesOf(useMe());
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const take = async (wanted: readonly ScanRequest[]) => {
    setBusy(true);
    try {
      await addVisits(
        round,
        wanted.map((r) => ({
          practiceId: r.practiceId,
          planned: r.planned,
          patientId: r.patientId,
          requestId: r.id,
        })),
      );
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
    <Dialog title="Asked for by practices" onClose={onClose} wide>
      {problem ? <Problem>{problem}</Problem> : null}
      <ul className="patients">
        {requests.map((r) => (
          <li key={r.id}>
            <span>
              <b>{r.planned.name}</b>{' '}
              <span className="hint">
                {practices.find((p) => p.id === r.practiceId)?.name ?? ''}, asked by {r.askedBy}{' '}
                {sayMoment(r.askedAt)}
                {r.wantedOn ? `, wanted by ${sayDay(r.wantedOn)}` : ''}
                {r.planned.question ? `: ${r.planned.question}` : ''}
              </span>
            </span>
            <Button disabled={busy} aria-label={`Take up ${r.planned.name}`} onClick={() => void take([r])}>
              Take up
            </Button>
          </li>
        ))}
      </ul>
      <p className="row">
        <Button look="main" disabled={busy || requests.length === 0} onClick={() => void take(requests)}>
          Take all up
        </Button>
      </p>
    </Dialog>
  );
}
