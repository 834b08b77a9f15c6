import type { Phrase } from '@chordae/contract';
import { useQuery, useQueryClient } from '@tanstack/react-query';
import { call } from '../../host/api';
import { uuidv7 } from '../../host/uuid';

export interface Phrases {
  readonly all: readonly Phrase[];
  readonly keep: (place: Phrase['place'], text: string) => Promise<void>;
  readonly setRetired: (phrase: Phrase, retired: boolean) => Promise<void>;
}

/** Sentences that the reading group uses again. */
export function usePhrases(groupId: string): Phrases {
  const client = useQueryClient();
  const queryKey = ['phrases', groupId];
  const { data = [] } = useQuery({
    queryKey,
    queryFn: ({ signal }) => call('listPhrases', { params: { groupId }, signal }),
    staleTime: 60_000,
  });
  const put = async (phraseId: string, body: { place: Phrase['place']; text: string; retired: boolean }) => {
    await call('putPhrase', { params: { groupId, phraseId }, body });
    await client.invalidateQueries({ queryKey });
  };
  return {
    all: data,
    keep: (place, text) => put(uuidv7(), { place, text: text.trim().slice(0, 1000), retired: false }),
    setRetired: (p, retired) => put(p.id, { place: p.place, text: p.text, retired }),
  };
}
