import type { Organisation, RecheckRow } from '@chordae/contract';
import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { call } from '../host/api';
import { practicesOf, useMe } from '../host/session';
import { useTitle } from '../host/title';
import { Failed, NoPractice } from '../kit/failed';
import { CautionLine, Loading } from '../kit/notice';
import { sayDay, today } from '../kit/time';
import { saySpeciesName } from './say-patient';

/** Patients whose last signed opinion or scan report names a day to look again. */
export function RechecksPage() {
  useTitle('Rechecks');
  const practices = practicesOf(useMe());
  return (
    <div className="page">
      <h1>Rechecks</h1>
      <p className="hint">
        From the newest signed opinion or scan report on each patient. A patient that is not listed has no day
        named; that does not say that it need not be seen.
      </p>
      {practices.length === 0 ? <NoPractice /> : null}
      {practices.map((practice) => (
        <OfPractice key={practice.id} practice={practice} />
      ))}
      <CautionLine />
    </div>
  );
}

function OfPractice({ practice }: { practice: Organisation }) {
  const { data, error, refetch } = useQuery({
    queryKey: ['rechecks', practice.id],
    queryFn: () => call('listRechecks', { params: { practiceId: practice.id } }),
  });
  const now = today();
  const open = data?.filter((r) => r.scannedSince === null) ?? [];
  const done = data?.filter((r) => r.scannedSince !== null) ?? [];
  return (
    <section aria-labelledby={`due-${practice.id}`}>
      <h2 id={`due-${practice.id}`} className="quiet-head">
        {practice.name}
      </h2>
      {error ? <Failed error={error} again={refetch} /> : null}
      {!data && !error ? <Loading what="the due list" /> : null}
      {data?.length === 0 ? (
        <p className="empty">No signed opinion or scan report of this practice names a day yet.</p>
      ) : null}
      <ol className="mails">
        {open.map((row) => (
          <Row key={row.referralId} practiceId={practice.id} row={row} now={now} />
        ))}
      </ol>
      {done.length > 0 ? (
        <details>
          <summary>{done.length} scanned again since</summary>
          <ol className="mails">
            {done.map((row) => (
              <Row key={row.referralId} practiceId={practice.id} row={row} now={now} />
            ))}
          </ol>
        </details>
      ) : null}
    </section>
  );
}

function Row({ practiceId, row, now }: { practiceId: string; row: RecheckRow; now: string }) {
  const late = row.scannedSince === null && row.dueOn < now;
  return (
    <li className={late ? 'recheck recheck-late' : 'recheck'}>
      <p>
        <Link to="/p/$practiceId/r/$referralId" params={{ practiceId, referralId: row.referralId }}>
          {row.patientName}
        </Link>{' '}
        <span className="hint">
          {saySpeciesName(row.species)}, referral {row.number} ·{' '}
          <Link to="/p/$practiceId/patients/$patientId" params={{ practiceId, patientId: row.patientId }}>
            all about this patient
          </Link>
        </span>
      </p>
      <p>
        {row.scannedSince === null
          ? `${late ? 'Was due' : 'Due'} ${sayDay(row.dueOn)}`
          : `Was due ${sayDay(row.dueOn)}; scanned ${sayDay(row.scannedSince)}`}
        {row.what ? `: ${row.what}` : ''}
      </p>
    </li>
  );
}
