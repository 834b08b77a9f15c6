import type { PlannedPatient, Round, Visit } from '@chordae/contract';
import { queryOptions, useQuery, useQueryClient } from '@tanstack/react-query';
import { useMemo } from 'react';
import { type BodyOf, call } from '../../host/api';
import { useKeptFiles } from '../../host/uploads/use-kept-files';
import { uuidv7 } from '../../host/uuid';

export const roundsQuery = queryOptions({
  queryKey: ['rounds'],
  queryFn: ({ signal }) => call('listRounds', { signal }),
});

export function roundQuery(roundId: string) {
  return queryOptions({
    queryKey: ['round', roundId],
    queryFn: ({ signal }): Promise<Round> => call('getRound', { params: { roundId }, signal }),
    refetchInterval: 30_000,
  });
}

/** One day; files that lie on this device and of which the server has not heard count as still to arrive. */
export function useRound(roundId: string) {
  const files = useKeptFiles().mine;
  const asked = useQuery(roundQuery(roundId));
  const data = useMemo(() => (asked.data ? withKept(asked.data, files) : undefined), [asked.data, files]);
  return { data, error: asked.error, refetch: asked.refetch };
}

/** A day with the files of its cases that only this device has. */
export function withKept(
  round: Round,
  files: readonly { readonly referralId: string; readonly announced: boolean }[],
): Round {
  const visits = round.visits.map((v) => {
    const here = files.filter((f) => f.referralId === v.referralId && !f.announced).length;
    return here > 0 && v.case ? { ...v, case: { ...v.case, arriving: v.case.arriving + here } } : v;
  });
  return { ...round, visits };
}

export function useRereadRounds(): () => Promise<void> {
  const client = useQueryClient();
  return async () => {
    await Promise.all([
      client.invalidateQueries({ queryKey: ['round'] }),
      client.invalidateQueries({ queryKey: ['rounds'] }),
    ]);
  };
}

/** Adds patients to the end of a round, in order, each with its own id. */
export async function addVisits(
  round: Pick<Round, 'id' | 'visits'>,
  patients: readonly {
    readonly practiceId: string;
    readonly planned: PlannedPatient;
    readonly patientId?: string | null;
    readonly requestId?: string | null;
  }[],
): Promise<void> {
  let position = Math.max(0, ...round.visits.map((v) => v.position));
  for (const p of patients) {
    position += 1;
    await call('putVisit', {
      params: { practiceId: p.practiceId, visitId: uuidv7() },
      body: {
        roundId: round.id,
        requestId: p.requestId ?? null,
        planned: p.planned,
        position,
        patientId: p.patientId ?? null,
        referralId: null,
        notScanned: null,
      },
    });
  }
}

export function patchVisit(visit: Visit, fields: BodyOf<'patchVisit'>['fields']) {
  return call('patchVisit', {
    params: { practiceId: visit.practiceId, visitId: visit.id },
    body: { base: visit.revision, fields },
  });
}

/** Visits grouped by practice in the order of the day: the round's own order first, others behind. */
export function byPractice(round: Round): readonly (readonly [practiceId: string, visits: Visit[]])[] {
  const groups = new Map<string, Visit[]>(round.practiceOrder.map((id) => [id, []]));
  for (const visit of round.visits) {
    const there = groups.get(visit.practiceId);
    if (there) there.push(visit);
    else groups.set(visit.practiceId, [visit]);
  }
  return [...groups].filter(([, visits]) => visits.length > 0);
}

/** All visits in the order in which one drives: practice by practice. */
export function inOrder(round: Round): Visit[] {
  return byPractice(round).flatMap(([, visits]) => visits);
}
