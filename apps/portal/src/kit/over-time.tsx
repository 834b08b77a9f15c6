import { nameOf, saySerialFinding } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import type { Earlier } from '../host/use-earlier';
import { sayDay } from './time';

interface Place {
  readonly practiceId: string;
  readonly referralId: string;
}

/** What earlier scans say beside the numbers: how many there are, and what changed more than measuring explains. */
export function OverTime({ earlier, place }: { earlier: Earlier; place: Place }) {
  const { scans, change } = earlier;
  if (scans.length === 0) return null;
  const real = [...new Set(change.changes.filter((c) => c.verdict === 'beyond-error').map((c) => c.index))];
  const told = [...new Set(change.changes.filter((c) => c.verdict !== 'not-compared').map((c) => c.index))];
  return (
    <div className="over-time">
      <p>
        {scans.length === 1 ? 'One earlier scan' : `${scans.length} earlier scans`} of this patient
        {scans.map((s) => ` · ${sayDay(s.scannedOn)}`).join('')}.{' '}
        {told.length === 0
          ? 'No index can be compared.'
          : real.length === 0
            ? 'No change can be told from measuring error.'
            : `Changed more than measuring error explains: ${real.map(nameOf).join(', ')}.`}
      </p>
      <p>
        <Link to="/p/$practiceId/r/$referralId/over-time" params={place}>
          See the indices over time
        </Link>
      </p>
      {change.findings.map((finding) => (
        <p key={finding.code}>{saySerialFinding(finding)}</p>
      ))}
    </div>
  );
}
