import type { GroupReader } from '@chordae/contract';
import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { call } from '../../host/api';

/** Readers of a group with what each has open; also who a referral can be handed to. */
export function useReaders(groupId: string) {
  return useQuery({
    queryKey: ['readers', groupId],
    queryFn: () => call('groupReaders', { params: { groupId } }),
    refetchInterval: 60_000,
  });
}

/** 'reads 3, of these 1 urgent; 1 handed over; 12 answered in seven days'. */
export function sayLoad(r: GroupReader): string {
  const reads =
    r.reading === 0
      ? 'reads nothing just now'
      : `reads ${r.reading}${r.readingUrgent > 0 ? `, of these ${r.readingUrgent} urgent` : ''}`;
  const handed = r.handedOver > 0 ? `; ${r.handedOver} handed over and not taken` : '';
  return `${reads}${handed}; ${r.answered7d} answered in seven days`;
}

export function ReadersLoad({ groupId, lead }: { groupId: string; lead: boolean }) {
  const { data } = useReaders(groupId);
  if (!data) return null;
  return (
    <details className="readers">
      <summary>
        Who has what: {data.reduce((sum, r) => sum + r.reading, 0)} being read by{' '}
        {data.filter((r) => r.reading > 0).length} of {data.length}
      </summary>
      <ul className="small-list">
        {data.map((r) => (
          <li key={r.memberId}>
            <b>{r.name}</b> {sayLoad(r)}
          </li>
        ))}
      </ul>
      {lead ? (
        <p>
          <Link to="/group/$groupId" params={{ groupId }}>
            Second reads and picture hints of this group
          </Link>
        </p>
      ) : null}
    </details>
  );
}
