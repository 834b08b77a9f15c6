import { sayNeedsYou, sayNoNetwork, sayOnTheWay, sayUnsentReferrals } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { useEffect, useState, useSyncExternalStore } from 'react';
import {
  leaving,
  program,
  useConflicts,
  useDevice,
  useLeft,
  useLine,
  useUnsentSends,
} from '../../host/device';
import { useMe } from '../../host/session';
import { useKeptFiles } from '../../host/uploads/use-kept-files';
import { Button } from '../../kit/button';

/** How long something must be on its way before it is worth a line. */
const ON_THE_WAY_MS = 4000;

/** One quiet line under the bar: no network, what is kept, what needs the person, a newer version. */
export function DeviceLine() {
  const me = useMe();
  return (
    <div className="device-line" role="status">
      {me ? <Kept /> : null}
      <Newer />
    </div>
  );
}

function Kept() {
  const line = useLine();
  const { mine, held } = useDevice();
  const choices = useConflicts().length;
  const left = useLeft(leaving);
  const files = useKeptFiles().mine.length;
  const signatures = mine.filter((o) => o.needsPassword && o.state === 'waiting').length;
  const refused = mine.filter((o) => o.state === 'refused').length;
  const going = mine.filter((o) => !held.has(o.seq)).length;
  const slow = useLasting(line === 'up' && going + files > 0);
  const asked = useUnsentSends().size;
  const needs = refused + choices + signatures;
  const parts = [
    line === 'down' ? sayNoNetwork(mine.length, files) : slow ? sayOnTheWay(going, files) : null,
    // What passes at once is no news; what nobody has although it was asked for is.
    asked > 0 && (line === 'down' || slow || held.size > 0) ? sayUnsentReferrals(asked) : null,
    needs > 0 ? sayNeedsYou(refused, choices, signatures) : null,
    left.length > 0 ? `You no longer belong to ${left.map((l) => l.practiceName).join(', ')}.` : null,
  ].filter((part) => part !== null);
  if (parts.length === 0) return null;
  return (
    <p>
      {parts.join(' ')} <Link to="/device">On this device</Link>
    </p>
  );
}

/** true once something has been so for a while: what passes at once is no news. */
function useLasting(now: boolean): boolean {
  const [lasting, setLasting] = useState(false);
  useEffect(() => {
    if (!now) return setLasting(false);
    const timer = setTimeout(() => setLasting(true), ON_THE_WAY_MS);
    return () => clearTimeout(timer);
  }, [now]);
  return lasting;
}

function Newer() {
  const newer = useSyncExternalStore(program.subscribe, program.read);
  if (!newer) return null;
  return (
    <p>
      A newer version of this program lies ready.{' '}
      <Button look="quiet" onClick={() => program.renew()}>
        Reload
      </Button>
    </p>
  );
}
