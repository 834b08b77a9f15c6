import type { TimelineEntry } from '@chordae/contract';
import { sayReferralState, sayTimelineKind } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { Button } from '../../kit/button';
import { sayDay, today } from '../../kit/time';

const SHOWN = 12;

/** What happened, newest first; what is still to come stands on top. */
export function HistoryPart({
  practiceId,
  entries,
}: {
  practiceId: string;
  entries: readonly TimelineEntry[];
}) {
  const [all, setAll] = useState(false);
  const now = today();
  const due = entries.filter((e) => e.kind === 'recheck' && e.day >= now);
  const past = entries.filter((e) => !(e.kind === 'recheck' && e.day >= now));
  const shown = all ? past : past.slice(0, SHOWN);
  return (
    <section className="form-part" aria-labelledby="pp-history">
      <h2 id="pp-history">History</h2>
      {entries.length === 0 ? (
        <p className="empty">Nothing yet: no scan, referral or report under this patient.</p>
      ) : null}
      {due.map((e) => (
        <p key={e.key} className="notice notice-note">
          To be looked at again on {sayDay(e.day)}
          {e.words ? `: ${e.words}` : ''} <span className="hint">({sayWhere(e)})</span>
        </p>
      ))}
      <ol className="history">
        {shown.map((e) => (
          <li key={e.key}>
            <time dateTime={e.day}>{sayDay(e.day)}</time>
            <div>
              <p>
                {sayTimelineKind(e)}
                {e.by ? <span className="hint">, {e.kind === 'referral' ? `to ${e.by}` : e.by}</span> : null}
              </p>
              {e.words && e.kind !== 'outcome' ? (
                <p className={e.kind === 'scan' || e.kind === 'rescan' ? 'hint' : 'history-words'}>
                  {e.words}
                </p>
              ) : null}
              <p className="hint">
                {e.referralId ? (
                  <Link to="/p/$practiceId/r/$referralId" params={{ practiceId, referralId: e.referralId }}>
                    {sayWhere(e)}
                  </Link>
                ) : null}
                {e.state && e.kind === 'referral' ? `, ${sayReferralState(e.state).name}` : ''}
                {e.underNumber === null ? '' : `, under number ${e.underNumber}`}
              </p>
            </div>
          </li>
        ))}
      </ol>
      {shown.length < past.length ? (
        <p>
          <Button onClick={() => setAll(true)}>Show all {past.length} entries</Button>
        </p>
      ) : null}
    </section>
  );
}

/** Before it is sent a case is no referral yet. */
function sayWhere(e: TimelineEntry): string {
  const sent = e.state !== null && !['draft', 'reported', 'filed'].includes(e.state);
  return `${sent ? 'referral' : 'case'} ${e.referralNumber}`;
}
