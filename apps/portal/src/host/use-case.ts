import type { CaseView } from '@chordae/contract';
import { queryOptions, useQuery, useQueryClient } from '@tanstack/react-query';
import { call } from './api';

export interface CasePlace {
  readonly practiceId: string;
  readonly referralId: string;
}

export function caseQuery(place: CasePlace) {
  return queryOptions({
    queryKey: ['case', place.practiceId, place.referralId],
    queryFn: ({ signal }): Promise<CaseView> => call('getCase', { params: { ...place }, signal }),
    // Files are read within seconds; the event says when, and this is the net under it.
    refetchInterval: ({ state }) => ((state.data?.arriving ?? 0) > 0 ? 4000 : 60_000),
  });
}

export function useCase(place: CasePlace) {
  return useQuery(caseQuery(place));
}

/** Reads a case again and waits for it. */
export function useRereadCase(place: CasePlace): () => Promise<void> {
  const client = useQueryClient();
  return () => client.invalidateQueries({ queryKey: ['case', place.practiceId, place.referralId] });
}
