import { useQueryClient } from '@tanstack/react-query';
import { Link, Outlet } from '@tanstack/react-router';
import { useEffect } from 'react';
import { startLive } from '../../host/live';
import { groupsOf, practicesOf, useMe } from '../../host/session';
import { DeviceLine } from '../device/device-line';
import { SignOut } from '../device/sign-out';

/** Bar, page, and the live line while somebody is signed in. */
export function Shell() {
  const me = useMe();
  const client = useQueryClient();
  useEffect(() => (me ? startLive(client) : undefined), [me?.member.id, client]);
  return (
    <>
      <a className="skip" href="#page">
        To the page
      </a>
      <header className="bar">
        <Link to="/" className="word" aria-label="Chordae, start page">
          <Mark /> Chordae
        </Link>
        {me ? <Pages /> : null}
        <span className="bar-space" />
        {me ? <Who name={me.member.name} /> : <Link to="/sign-in">Sign in</Link>}
      </header>
      <DeviceLine />
      <main id="page" tabIndex={-1}>
        <Outlet />
      </main>
    </>
  );
}

/** Two strings from a ring: what the house is named after. */
function Mark() {
  return (
    <svg viewBox="0 0 32 32" aria-hidden="true" className="word-mark">
      <path d="M5 7q11 9 22 0M9 9l6 18M16 12v15M23 9l-6 18" />
    </svg>
  );
}

function Pages() {
  const me = useMe();
  const practices = practicesOf(me);
  return (
    <nav aria-label="Pages" className="pages">
      {practices.length > 0 ? <Link to="/referrals">Referrals</Link> : null}
      {practices.some((p) => p.roles.includes('sonographer')) ? <Link to="/rounds">Rounds</Link> : null}
      {groupsOf(me).length > 0 ? <Link to="/queue">Queue</Link> : null}
      {practices[0] ? (
        <Link to="/p/$practiceId/patients" params={{ practiceId: practices[0].id }}>
          Patients
        </Link>
      ) : null}
      {practices.length > 0 ? <Link to="/rechecks">Rechecks</Link> : null}
      {practices.length > 0 ? <Link to="/outbox">Mails</Link> : null}
      {practices[0] ? (
        <Link to="/p/$practiceId/practice" params={{ practiceId: practices[0].id }}>
          Practice
        </Link>
      ) : null}
      <Link to="/views" search={{ kind: 'dog' }}>
        View guide
      </Link>
      <Link to="/how">How it is computed</Link>
    </nav>
  );
}

function Who({ name }: { name: string }) {
  return (
    <span className="who">
      <span className="who-name">{name}</span>
      <SignOut />
    </span>
  );
}
