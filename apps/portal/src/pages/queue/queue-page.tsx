import type { Organisation } from '@chordae/contract';
import { useQuery } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import { call } from '../../host/api';
import { groupsOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { CautionLine, Loading, Problem } from '../../kit/notice';
import { useNow } from '../../kit/time';
import { FilterBar } from './queue-filter-bar';
import { filterQueue, filtersAmong, isFiltered, NO_FILTERS, type QueueFilters } from './queue-filters';
import { Row } from './queue-row';
import { ReadersLoad } from './readers-load';

type Scope = 'open' | 'mine' | 'answered';
const SCOPES: readonly (readonly [Scope, string])[] = [
  ['open', 'Open'],
  ['mine', 'Mine'],
  ['answered', 'Answered'],
];

/** The cardiologists' queue: each place with its reason. */
export function QueuePage() {
  useTitle('Queue');
  const groups = groupsOf(useMe());
  const [scope, setScope] = useState<Scope>('open');
  useRowKeys();
  useDeskAtHand();
  return (
    <div className="page">
      <div className="head-row">
        <h1>Queue</h1>
        <div className="segments" role="group" aria-label="Which referrals">
          {SCOPES.map(([id, words]) => (
            <button key={id} type="button" aria-pressed={scope === id} onClick={() => setScope(id)}>
              {words}
            </button>
          ))}
        </div>
      </div>
      {groups.map((group) => (
        <GroupQueue key={group.id} group={group} scope={scope} />
      ))}
      <p className="hint queue-keys">
        <kbd className="key">↓</kbd> <kbd className="key">↑</kbd> go from referral to referral,{' '}
        <kbd className="key">Enter</kbd> opens, <kbd className="key">T</kbd> takes.
      </p>
      <CautionLine />
    </div>
  );
}

const EMPTY: Record<Scope, string> = {
  open: 'Nobody is waiting in this queue just now.',
  mine: 'You have no referral open.',
  answered: 'No answered referral yet.',
};

function GroupQueue({ group, scope }: { group: Organisation; scope: Scope }) {
  const [filters, setFilters] = useKeptFilters(group.id);
  const now = useNow();
  const { data, error, isPending } = useQuery({
    queryKey: ['queue', group.id, scope],
    queryFn: () => call('queue', { params: { groupId: group.id }, query: { scope } }),
    refetchInterval: 60_000,
  });
  const acting = filtersAmong(filters, scope === 'open');
  const { shown, hidden, keptAll } = filterQueue(data ?? [], acting);
  return (
    <section aria-labelledby={`q-${group.id}`}>
      <h2 id={`q-${group.id}`} className="quiet-head">
        {group.name}
        {data ? ` · ${data.length} ${data.length === 1 ? 'referral' : 'referrals'}` : ''}
        {hidden > 0 ? `, ${hidden} of them not shown` : ''}
      </h2>
      {data && (data.length > 1 || isFiltered(acting)) ? (
        <FilterBar rows={data} filters={filters} onChange={setFilters} untaken={scope === 'open'} />
      ) : null}
      {keptAll > 0 ? (
        <p className="hint" role="status">
          {keptAll === 1
            ? 'One untaken emergency or act-now flag stays'
            : `${keptAll} untaken emergencies or act-now flags stay`}{' '}
          in sight whatever is chosen.
        </p>
      ) : null}
      {error ? <Problem>{error.message}</Problem> : null}
      {isPending ? <Loading what="the queue" /> : null}
      {data?.length === 0 ? <p className="empty">{EMPTY[scope]}</p> : null}
      {data && data.length > 0 && shown.length === 0 ? (
        <p className="empty">None fits what is chosen above.</p>
      ) : null}
      <ol className="queue">
        {shown.map((row) => (
          <Row key={row.id} row={row} now={now} />
        ))}
      </ol>
      {scope === 'open' ? <ReadersLoad groupId={group.id} lead={group.roles.includes('lead')} /> : null}
    </section>
  );
}

/** What was chosen stays while the browser tab lives: going to a case and back must not change the list. */
function useKeptFilters(groupId: string): readonly [QueueFilters, (filters: QueueFilters) => void] {
  const key = `queue-filters:${groupId}`;
  const [filters, setFilters] = useState<QueueFilters>(() => {
    try {
      return { ...NO_FILTERS, ...(JSON.parse(sessionStorage.getItem(key) ?? '{}') as Partial<QueueFilters>) };
    } catch {
      return NO_FILTERS;
    }
  });
  const keep = (next: QueueFilters) => {
    setFilters(next);
    try {
      sessionStorage.setItem(key, JSON.stringify(next));
    } catch {
      // A browser that keeps nothing shows the filters all the same.
    }
  };
  return [filters, keep];
}

/** The desk's code, and the worker that decodes, lie ready before a referral is opened. */
function useDeskAtHand() {
  useEffect(() => {
    const soon = setTimeout(() => void import('../desk/desk-page').catch(() => undefined), 400);
    return () => clearTimeout(soon);
  }, []);
}

/** Up and down among the referrals; T takes the one in focus. */
function useRowKeys() {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement;
      if (target.matches('input, textarea, select') || target.closest('dialog')) return;
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const links = [...document.querySelectorAll<HTMLElement>('.queue-link')];
      const at = links.findIndex((link) => link.closest('li')?.contains(document.activeElement));
      if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
        const next = event.key === 'ArrowDown' ? at + 1 : Math.max(0, at - 1);
        links[Math.min(next, links.length - 1)]?.focus();
      } else if (event.key.toLowerCase() === 't' && at >= 0)
        links[at]?.closest('li')?.querySelector<HTMLButtonElement>('[data-act="take"]')?.click();
      else return;
      event.preventDefault();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, []);
}
