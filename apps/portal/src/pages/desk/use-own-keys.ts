import { useQuery, useQueryClient } from '@tanstack/react-query';
import { useMemo } from 'react';
import { call } from '../../host/api';
import { type DeskActionId, type DeskKeys, keysWith } from './desk-keys';

const QUERY = ['desk-settings'] as const;

/** The keys that hold for this person: the table's, with what they changed. */
export function useOwnKeys(): DeskKeys {
  const { data } = useQuery({
    queryKey: QUERY,
    queryFn: () => call('getDeskSettings', {}),
    staleTime: Number.POSITIVE_INFINITY,
  });
  return useMemo(() => keysWith(data?.keys), [data]);
}

/** Keeps a person's keys; `{}` is the table again. */
export function useKeepKeys(): (own: Partial<Record<DeskActionId, string>>) => Promise<void> {
  const client = useQueryClient();
  return async (own) => {
    const keys = Object.fromEntries(
      Object.entries(own).filter((e): e is [string, string] => e[1] !== undefined),
    );
    client.setQueryData(QUERY, await call('putDeskSettings', { body: { keys } }));
  };
}
