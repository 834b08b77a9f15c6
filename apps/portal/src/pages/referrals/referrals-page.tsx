import type { ReferralRow } from '@chordae/contract';
import { capital, planNames, SENDING_WAITS, sayReferralNumber, sayReferralState } from '@chordae/words';
import { useQueries } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { call } from '../../host/api';
import { useUnsentSends } from '../../host/device';
import { maySend, practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { AsOf } from '../../kit/as-of';
import { Button } from '../../kit/button';
import { Failed, NoPractice } from '../../kit/failed';
import { Loading } from '../../kit/notice';
import { sayDue, Time, useNow } from '../../kit/time';
import { sayPatientShort } from '../say-patient';
import type { WaitsOn } from './waits';
import { isReport, sayWaiting, waitsOn } from './waits';

const PARTS: readonly (readonly [WaitsOn, string])[] = [
  ['you', 'Waits on you'],
  ['practice', 'Waits on the practice'],
  ['readers', 'Waits on the readers'],
  ['nobody', 'Done'],
];

/** So many of what is done stand open; the rest unfolds. */
const DONE_SHOWN = 20;
/** The service gives no more rows than this for one practice. */
const LIST_MOST = 500;

/** Referrals of all one's practices, by whom they wait on. */
export function ReferralsPage() {
  useTitle('Referrals');
  const practices = practicesOf(useMe());
  const asked = useUnsentSends();
  const [all, setAll] = useState(false);
  const [only, setOnly] = useState<string | null>(null);
  const lists = useQueries({
    queries: practices.map((p) => ({
      queryKey: ['referrals', p.id],
      queryFn: () => call('listReferrals', { params: { practiceId: p.id } }),
    })),
  });
  const rows = lists
    .flatMap((l) => l.data ?? [])
    .filter((r) => only === null || r.practiceId === only)
    .sort((a, b) => b.updatedAt.localeCompare(a.updatedAt));
  const cut = lists.some((l) => (l.data?.length ?? 0) >= LIST_MOST);
  const several = practices.length > 1;
  const rolesAt = new Map(practices.map((p) => [p.id, p.roles]));
  const known = lists.some((l) => l.data);
  // A list that could not be had is no empty one.
  const missing = lists.flatMap((l, n) =>
    l.error && !l.data ? [{ list: l, name: practices[n]?.name ?? '' }] : [],
  );
  return (
    <div className="page">
      <div className="head-row">
        <h1>Referrals</h1>
        {practices.some(maySend) ? (
          <p className="row">
            <Link to="/scan-requests" className="button button-plain">
              Ask for a scan
            </Link>
            <Link to="/referrals/new" className="button button-main">
              New referral
            </Link>
          </p>
        ) : null}
      </div>
      {several ? (
        <div className="segments" role="group" aria-label="Practice">
          <button type="button" aria-pressed={only === null} onClick={() => setOnly(null)}>
            {practices.length === 2 ? 'Both practices' : 'All practices'}
          </button>
          {practices.map((p) => (
            <button key={p.id} type="button" aria-pressed={only === p.id} onClick={() => setOnly(p.id)}>
              {p.name}
            </button>
          ))}
        </div>
      ) : null}
      {practices.slice(0, 1).map((p) => (
        <AsOf key={p.id} route="listReferrals" params={{ practiceId: p.id }} />
      ))}
      {practices.length === 0 ? <NoPractice /> : null}
      {missing.map(({ list, name }) => (
        <section key={name} aria-label={name}>
          {several ? <p className="hint">{name}</p> : null}
          <Failed error={list.error} again={list.refetch} />
        </section>
      ))}
      {lists.some((l) => l.isPending) ? <Loading what="referrals" /> : null}
      {cut ? (
        <p className="hint">Only the {LIST_MOST} referrals changed last are shown of each practice.</p>
      ) : null}
      {PARTS.map(([part, title]) => {
        const here = rows.filter((r) => waitsOn(r, rolesAt.get(r.practiceId) ?? []) === part);
        if (here.length === 0 && (part === 'nobody' || part === 'practice' || !known)) return null;
        return (
          <section key={part} aria-labelledby={`w-${part}`}>
            <h2 id={`w-${part}`}>
              {title} <span className="hint">{here.length}</span>
            </h2>
            {here.length === 0 ? (
              <p className="empty">
                {missing.length === 0 ? 'Nothing at the moment.' : 'Nothing that could be had.'}
              </p>
            ) : null}
            <ul className="referrals">
              {(part === 'nobody' && !all ? here.slice(0, DONE_SHOWN) : here).map((row) => (
                <Row key={row.id} row={row} showPractice={several} asked={asked.has(row.id)} />
              ))}
            </ul>
            {part === 'nobody' && !all && here.length > DONE_SHOWN ? (
              <Button onClick={() => setAll(true)}>Show all {here.length}</Button>
            ) : null}
          </section>
        );
      })}
    </div>
  );
}

function Row({
  row,
  showPractice,
  asked,
}: {
  row: ReferralRow;
  showPractice: boolean;
  /** Its sending has not reached the server. */
  asked: boolean;
}) {
  const now = useNow();
  const waiting =
    row.dueAt && (row.state === 'sent' || row.state === 'reading')
      ? ` ${capital(sayDue(row.dueAt, now))}`
      : '';
  return (
    <li className="referral-row">
      <div>
        <Link
          to={isReport(row.state) ? '/p/$practiceId/r/$referralId/report' : '/p/$practiceId/r/$referralId'}
          params={{ practiceId: row.practiceId, referralId: row.id }}
        >
          {row.patientName}
        </Link>
        <p className="hint">{sayPatientShort(row)}</p>
        {showPractice ? <p className="hint">{row.practiceName}</p> : null}
      </div>
      <div>
        <p className="referral-waits">
          {asked ? SENDING_WAITS : sayWaiting(row)}
          {waiting}
        </p>
        <p className="hint">{planNames[row.plan]}</p>
      </div>
      <div className="hint">
        <p>
          {sayReferralNumber(
            row.number,
            row.groupName === '' || isReport(row.state) ? 'Scan report' : 'Referral',
          )}
          , {sayReferralState(row.state).name}
          {row.urgency ? `, ${row.urgency}` : ''}
        </p>
        <p>
          {row.clipCount} {row.clipCount === 1 ? 'clip' : 'clips'} · changed <Time at={row.updatedAt} />
        </p>
      </div>
    </li>
  );
}
