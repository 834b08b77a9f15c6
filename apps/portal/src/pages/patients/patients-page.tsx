import type { PatientListRow } from '@chordae/contract';
import { keepPreviousData, useQuery } from '@tanstack/react-query';
import { Link, useParams } from '@tanstack/react-router';
import { useDeferredValue, useMemo, useRef, useState } from 'react';
import { call } from '../../host/api';
import { practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { Failed } from '../../kit/failed';
import { SelectField, TextField } from '../../kit/field';
import { Loading, Problem } from '../../kit/notice';
import { PracticeChoice } from '../practice/practice-choice';
import { LikelyPairs } from './likely-pairs';
import { inOrder, orderNames, type PatientOrder } from './patient-order';
import { PatientRows } from './patient-rows';
import '../../styles/practice.css';

/** All patients of one practice, found by anything one has in hand. */
export function PatientsPage() {
  const { practiceId } = useParams({ from: '/members/in-shell/p/$practiceId/patients' });
  const practices = practicesOf(useMe());
  const practice = practices.find((p) => p.id === practiceId);
  useTitle(practice ? `Patients of ${practice.name}` : 'Patients');
  return (
    <div className="page">
      <h1>Patients {practices.length === 1 ? <span className="hint">of {practice?.name}</span> : null}</h1>
      <PracticeChoice practiceId={practiceId} to="/p/$practiceId/patients" />
      {practice ? (
        <OfPractice key={practiceId} practiceId={practiceId} />
      ) : (
        <Problem>You do not belong to this practice, so its patients are not shown.</Problem>
      )}
    </div>
  );
}

const NONE: readonly PatientListRow[] = [];

function OfPractice({ practiceId }: { practiceId: string }) {
  const [find, setFind] = useState('');
  const [order, setOrder] = useState<PatientOrder>('changed');
  const wanted = useDeferredValue(find.trim());
  const list = useRef<HTMLUListElement>(null);
  const { data, error, isPending, refetch } = useQuery({
    queryKey: ['patient-rows', practiceId, wanted],
    queryFn: ({ signal }) =>
      call('listPatientRows', { params: { practiceId }, query: { find: wanted }, signal }),
    placeholderData: keepPreviousData,
  });
  const rows = useMemo(() => inOrder(data?.rows ?? NONE, order), [data, order]);
  return (
    <>
      <div className="patients-find">
        <TextField
          label="Find a patient"
          type="search"
          value={find}
          onChange={(e) => setFind(e.target.value)}
          onKeyDown={(e) => {
            if (e.key !== 'ArrowDown') return;
            e.preventDefault();
            list.current?.querySelector<HTMLElement>('a[tabindex="0"]')?.focus();
          }}
        />
        <SelectField
          label="Order"
          choices={Object.entries(orderNames)}
          value={order}
          onChange={(e) => setOrder(e.target.value as PatientOrder)}
        />
        <p className="hint patients-find-how">
          By name, number, chip, the keeper’s name or telephone. Arrow down goes into the list.
        </p>
      </div>
      {error ? <Failed error={error} again={refetch} /> : null}
      {isPending && !error ? <Loading what="the patients" /> : null}
      {data ? (
        <p className="hint" role="status">
          {sayCount(rows.length, wanted, data.cut)}
        </p>
      ) : null}
      {data && wanted === '' ? <LikelyPairs practiceId={practiceId} /> : null}
      <PatientRows key={`${wanted} ${order}`} list={list} practiceId={practiceId} rows={rows} />
      <p className="hint">
        A new patient is registered with its first scan: <Link to="/referrals/new">new referral</Link>.
      </p>
    </>
  );
}

function sayCount(count: number, wanted: string, cut: boolean): string {
  if (count === 0)
    return wanted === '' ? 'No patient is registered here yet.' : 'No patient fits these words.';
  const patients = count === 1 ? '1 patient' : `${count} patients`;
  return `${patients}${wanted === '' ? '' : ' found'}${cut ? ', and more: write more of the name' : ''}.`;
}
