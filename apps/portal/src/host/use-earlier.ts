import type { CaseView, EarlierScan, InterpretationInput, SerialChange } from '@chordae/contract';
import { interpret, serialChange } from '@chordae/interpretation';
import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import { call } from './api';

/** Earlier values of one index, oldest first, for the limit line. */
export interface Earlier {
  readonly scans: readonly EarlierScan[];
  readonly change: SerialChange;
  readonly valuesOf: (index: string) => { value: number }[];
}

const NONE: readonly EarlierScan[] = [];

/** Earlier scans of the patient against what stands on the page now. */
export function useEarlier(c: CaseView, input: InterpretationInput): Earlier {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const { data } = useQuery({
    queryKey: ['earlier', place.practiceId, place.referralId],
    queryFn: ({ signal }) => call('earlierScans', { params: place, signal }),
    staleTime: 5 * 60_000,
  });
  const scans = data ?? NONE;
  const scan = c.scans.at(-1);
  const then = useMemo(() => scans.map((s) => interpret(s.input)), [scans]);
  return useMemo(() => {
    const now = { scannedOn: scan?.scannedOn ?? '', operator: scan?.operator || null, input };
    return {
      scans,
      change: serialChange(now, scans),
      valuesOf: (index) =>
        then.flatMap((r) => r.indices.filter((i) => i.code === index).map((i) => ({ value: i.value }))),
    };
  }, [scans, then, input, scan?.scannedOn, scan?.operator]);
}
