import type { AccountPart } from '@chordae/contract';
import { COUNTING_RULES, capital, sayAmount, sayCounts, sayMonth } from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate, useParams, useSearch } from '@tanstack/react-router';
import { call, pathOf } from '../../host/api';
import { maySend, practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { Failed } from '../../kit/failed';
import { Loading, Notice, Problem } from '../../kit/notice';
import { today } from '../../kit/time';
import { AccountLines } from './account-lines';
import { isMonth, monthBeside } from './months';
import { PricesPart } from './prices-part';
import '../../styles/practice.css';

/** What was scanned, reported and sent in a month: one's own, or a practice's for its manager. */
export function AccountPage() {
  const { month } = useParams({ from: '/members/in-shell/account/$month' });
  const { of } = useSearch({ from: '/members/in-shell/account/$month' });
  const practices = practicesOf(useMe());
  const managed = practices.filter((p) => p.roles.includes('manager'));
  const own = practices.some(maySend);
  const practice = managed.find((p) => p.id === of) ?? (own ? null : (managed[0] ?? null));
  useTitle(`Account for ${isMonth(month) ? sayMonth(month) : month}`);
  return (
    <div className="page">
      <h1>Account for {isMonth(month) ? sayMonth(month) : month}</h1>
      <Choice month={month} own={own} managed={managed} chosen={practice?.id ?? null} />
      {isMonth(month) ? (
        <>
          <nav className="row" aria-label="Months">
            <Link to="/account/$month" params={{ month: monthBeside(month, -1) }} search={{ of }}>
              {sayMonth(monthBeside(month, -1))}
            </Link>
            {month < today().slice(0, 7) ? (
              <Link to="/account/$month" params={{ month: monthBeside(month, 1) }} search={{ of }}>
                {sayMonth(monthBeside(month, 1))}
              </Link>
            ) : (
              <span className="hint">This month is not over: more may come.</span>
            )}
          </nav>
          <OfMonth month={month} practiceId={practice?.id ?? null} />
        </>
      ) : (
        <Problem>Write the month in the address as year and month, such as /account/2026-11.</Problem>
      )}
    </div>
  );
}

function Choice({
  month,
  own,
  managed,
  chosen,
}: {
  month: string;
  own: boolean;
  managed: readonly { id: string; name: string }[];
  chosen: string | null;
}) {
  const go = useNavigate();
  if ((own ? 1 : 0) + managed.length < 2)
    return <p className="hint">{managed[0]?.name ?? 'Your own, at each of your practices.'}</p>;
  return (
    <div className="segments" role="group" aria-label="Whose account">
      {own ? (
        <button
          type="button"
          aria-pressed={chosen === null}
          onClick={() => void go({ to: '/account/$month', params: { month }, search: {} })}
        >
          Mine
        </button>
      ) : null}
      {managed.map((p) => (
        <button
          key={p.id}
          type="button"
          aria-pressed={chosen === p.id}
          onClick={() => void go({ to: '/account/$month', params: { month }, search: { of: p.id } })}
        >
          {p.name}
        </button>
      ))}
    </div>
  );
}

function OfMonth({ month, practiceId }: { month: string; practiceId: string | null }) {
  const { data, error, refetch } = useQuery({
    queryKey: ['account', practiceId, month],
    queryFn: ({ signal }) =>
      practiceId === null
        ? call('myAccount', { query: { month }, signal })
        : call('practiceAccount', { params: { practiceId }, query: { month }, signal }),
  });
  if (error) return <Failed error={error} again={refetch} />;
  if (!data) return <Loading what="the account" />;
  const address = (kind: 'Csv' | 'Pdf', query: Record<string, string> = {}) =>
    practiceId === null
      ? pathOf(`myAccount${kind}`, {}, { month, ...query })
      : pathOf(`practiceAccount${kind}`, { practiceId }, { month, ...query });
  return (
    <>
      {data.demo ? <Notice>Demonstration data: nothing here is real.</Notice> : null}
      {data.parts.length === 0 ? (
        <p className="empty">Nothing was scanned, reported or sent in this month.</p>
      ) : (
        <p className="row">
          <a className="button" href={address('Pdf')} target="_blank" rel="noreferrer">
            As PDF
          </a>
          <a className="button" href={address('Csv')} download>
            As CSV
          </a>
          <a href={address('Csv', { bom: '1' })} download>
            CSV for spreadsheets that show é wrongly
          </a>
        </p>
      )}
      {data.parts.map((part) => (
        <Part key={`${part.practiceId} ${part.memberId}`} part={part} own={practiceId === null} />
      ))}
      <section className="form-part" aria-labelledby="ac-rules">
        <h2 id="ac-rules">How it is counted</h2>
        <ul className="account-rules">
          {COUNTING_RULES.map((rule) => (
            <li key={rule}>{rule}</li>
          ))}
        </ul>
      </section>
    </>
  );
}

function Part({ part, own }: { part: AccountPart; own: boolean }) {
  const id = `ac-${part.practiceId}-${part.memberId}`;
  return (
    <section className="form-part" aria-labelledby={id}>
      <div className="head-row">
        <div>
          <h2 id={id}>{own ? part.practiceName : part.memberName}</h2>
          <p>{capital(sayCounts(part.counts))}</p>
        </div>
        {part.prices && part.totalHundredths !== null ? (
          <p className="account-total">{sayAmount(part.totalHundredths, part.prices.currency)}</p>
        ) : null}
      </div>
      {part.lines.length > 0 ? <AccountLines part={part} /> : null}
      {own ? <PricesPart practiceId={part.practiceId} practiceName={part.practiceName} /> : null}
    </section>
  );
}
