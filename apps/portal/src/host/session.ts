import type { Me, Organisation } from '@chordae/contract';
import { queryOptions, useQuery } from '@tanstack/react-query';
import { ApiError, call } from './api';

/** Who is signed in; null when nobody is. */
export const meQuery = queryOptions({
  queryKey: ['me'],
  staleTime: 5 * 60_000,
  retry: false,
  queryFn: async ({ client }): Promise<Me | null> => {
    try {
      return await call('me', {});
    } catch (error) {
      // A session that ended keeps the page and its typing: the dialog asks to sign in again.
      if (error instanceof ApiError && error.code === 'SIGNED_OUT')
        return client.getQueryData<Me | null>(['me']) ?? null;
      throw error;
    }
  },
});

export function useMe(): Me | null {
  return useQuery(meQuery).data ?? null;
}

const canRefer = (o: Organisation): boolean => o.kind === 'practice';
export function practicesOf(me: Me | null): Organisation[] {
  return (me?.organisations ?? []).filter(canRefer);
}
export function groupsOf(me: Me | null): Organisation[] {
  return (me?.organisations ?? []).filter((o) => o.kind === 'group');
}
export function maySend(o: Organisation): boolean {
  return o.roles.some((r) => r === 'referring-vet' || r === 'sonographer');
}

/** The first page of a member: the queue for readers, the referrals for the rest. */
export function homeOf(me: Me): '/queue' | '/referrals' {
  return practicesOf(me).length === 0 && groupsOf(me).length > 0 ? '/queue' : '/referrals';
}

const listeners = new Set<() => void>();
/** Called after somebody has signed in again over an open page: what waited goes on. */
export function onSignedIn(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
export function tellSignedIn(): void {
  for (const listener of listeners) listener();
}
