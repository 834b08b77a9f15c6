import { likenessWords } from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { call } from '../../host/api';
import { saySpeciesName } from '../say-patient';

/** Patients that may be registered twice. A hint under the list, quiet where there is none. */
export function LikelyPairs({ practiceId }: { practiceId: string }) {
  const { data } = useQuery({
    queryKey: ['likely-pairs', practiceId],
    queryFn: ({ signal }) => call('listLikelyPairs', { params: { practiceId }, signal }),
    staleTime: 60_000,
  });
  if (!data || data.length === 0) return null;
  return (
    <details className="likely">
      <summary>
        {data.length === 1
          ? 'One pair of patients may be the same animal'
          : `${data.length} pairs of patients may be the same animal`}
      </summary>
      <ul className="plain-list">
        {data.map((pair) => (
          <li key={`${pair.one.id} ${pair.other.id}`}>
            {[pair.one, pair.other].map((p, at) => (
              <span key={p.id}>
                {at === 1 ? ' and ' : ''}
                <Link to="/p/$practiceId/patients/$patientId" params={{ practiceId, patientId: p.id }}>
                  {p.name}, number {p.number}
                </Link>
              </span>
            ))}{' '}
            <span className="hint">
              ({saySpeciesName(pair.one.species)}): {pair.because.map((b) => likenessWords[b]).join('; ')}.
            </span>
          </li>
        ))}
      </ul>
    </details>
  );
}
