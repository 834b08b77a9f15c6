import { useQueries, useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { practicesOf, useMe } from '../../host/session';
import type { CasePlace } from '../../host/use-case';
import { sayDay } from '../../kit/time';
import '../../styles/rounds.css';
import { stageOf } from './say-visit';
import { inOrder, roundQuery, roundsQuery } from './use-rounds';

/** So many open days are looked through for the case: one works on today's, and mends yesterday's. */
const DAYS = 3;

/** Over a case of one's round: which of the day it is, and who comes next where. */
export function RoundLine({ place }: { place: CasePlace }) {
  const practices = practicesOf(useMe());
  const scans = practices.some((p) => p.roles.includes('sonographer'));
  const { data } = useQuery({ ...roundsQuery, enabled: scans });
  const open = (data ?? []).filter((r) => r.closedAt === null).slice(0, DAYS);
  const days = useQueries({ queries: open.map((r) => roundQuery(r.id)) });
  for (const { data: round } of days) {
    if (!round) continue;
    const visits = inOrder(round);
    const at = visits.findIndex(
      (v) => v.referralId === place.referralId && v.practiceId === place.practiceId,
    );
    if (at === -1) continue;
    const next = [...visits.slice(at + 1), ...visits.slice(0, at)].find((v) => stageOf(v) === 'planned');
    const where = practices.find((p) => p.id === next?.practiceId)?.name;
    return (
      <nav className="round-line" aria-label="Round">
        <Link to="/rounds/$roundId" params={{ roundId: round.id }} data-key="Alt R">
          Round of {sayDay(round.day)}
        </Link>
        <kbd aria-hidden="true" className="key">
          Alt R
        </kbd>
        <span>
          {at + 1} of {visits.length}
        </span>
        <span className="hint">
          {next ? `Next: ${next.planned.name}${where ? ` at ${where}` : ''}` : 'Nobody is left to scan'}
        </span>
      </nav>
    );
  }
  return null;
}
