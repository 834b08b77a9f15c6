import type { RouteName } from '@chordae/contract';
import { useMemo, useSyncExternalStore } from 'react';
import type { Ask } from '../route-fetch';
import type { KeptConflict, Op } from './kept';
import { heldBack } from './outbox';
import { device } from './start';

/** Whether the server answers. */
export function useLine(): 'up' | 'down' {
  return useSyncExternalStore(device.line.subscribe, device.line.read);
}

/** All writes that wait on this device, of whomever. */
export function useOps(): readonly Op[] {
  return useSyncExternalStore(device.outbox.subscribe, device.outbox.read);
}

/** Fields that wait for a choice of the person who is signed in; of one row, where it is named. */
export function useConflicts(row?: string): readonly KeptConflict[] {
  const all = useSyncExternalStore(device.outbox.subscribe, device.outbox.conflicts);
  const memberId = device.member()?.member.id;
  return useMemo(
    () => all.filter((c) => c.memberId === memberId && (row === undefined || c.row === row)),
    [all, memberId, row],
  );
}

/** Since when the answer that is shown is kept: undefined when the server gave it, null when it was made here. */
export function useAsOf(
  route: RouteName,
  params: Ask['params'],
  query?: Ask['query'],
): string | null | undefined {
  return useSyncExternalStore(device.subscribe, () => device.asOf(route, params, query));
}

export interface OnDevice {
  /** Writes of the person who is signed in. */
  readonly mine: readonly Op[];
  /** Of those, the ones that wait for this person and not for the line. */
  readonly held: ReadonlySet<number>;
  /** Writes of others who worked in this browser: counted, never shown. */
  readonly others: number;
}

/** What waits on this device. */
export function useDevice(): OnDevice {
  const ops = useOps();
  const memberId = device.member()?.member.id;
  return useMemo(
    () => ({
      mine: ops.filter((o) => o.memberId === memberId),
      held: heldBack(ops),
      others: ops.filter((o) => o.memberId !== memberId).length,
    }),
    [ops, memberId],
  );
}
