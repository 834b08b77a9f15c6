import type { PatientListRow } from '@chordae/contract';
import { Link } from '@tanstack/react-router';
import type { KeyboardEvent, RefObject } from 'react';
import { useEffect, useRef, useState } from 'react';
import { sayDay, today } from '../../kit/time';
import { ageOn, sayPatientShort } from '../say-patient';
import { useRemPx, useWindowed } from './windowed';

/** Height of a row, as the style sheet has it. */
const ROW_REM = 4.5;
const NARROW_ROW_REM = 6.75;
const NARROW = '(max-width: 48rem)';

function useNarrow(): boolean {
  const [narrow, setNarrow] = useState(() => globalThis.matchMedia(NARROW).matches);
  useEffect(() => {
    const query = globalThis.matchMedia(NARROW);
    const set = () => setNarrow(query.matches);
    query.addEventListener('change', set);
    return () => query.removeEventListener('change', set);
  }, []);
  return narrow;
}

/** A list of any length: only the rows in sight are drawn. Arrow keys go through all of them. */
export function PatientRows({
  list,
  practiceId,
  rows,
}: {
  list: RefObject<HTMLUListElement | null>;
  practiceId: string;
  rows: readonly PatientListRow[];
}) {
  const rowPx = useRemPx(useNarrow() ? NARROW_ROW_REM : ROW_REM);
  const { first, end } = useWindowed(list, rows.length, rowPx);
  const [active, setActive] = useState(0);
  const focusNext = useRef(false);
  useEffect(() => {
    if (!focusNext.current) return;
    const link = list.current?.querySelector<HTMLElement>(`[data-row="${active}"] a`);
    if (!link) return;
    focusNext.current = false;
    link.focus({ preventScroll: true });
  }, [active, first, end, list]);
  const goTo = (row: number) => {
    const to = Math.max(0, Math.min(rows.length - 1, row));
    focusNext.current = true;
    setActive(to);
    bringIntoSight(list.current, to * rowPx, rowPx);
  };
  const page = Math.max(1, Math.floor(globalThis.innerHeight / rowPx) - 2);
  const onKey = (event: KeyboardEvent) => {
    const steps: Record<string, number> = {
      ArrowDown: active + 1,
      ArrowUp: active - 1,
      PageDown: active + page,
      PageUp: active - page,
      Home: 0,
      End: rows.length - 1,
    };
    const to = steps[event.key];
    if (to === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    goTo(to);
  };
  // The row that has the focus stays drawn when it is scrolled out of sight: else the focus would fall to the page.
  const drawn = range(first, end);
  if (active < rows.length && (active < first || active >= end)) drawn.push(active);
  return (
    <ul
      ref={list}
      className="patient-rows"
      aria-label="Patients"
      style={{ height: rows.length * rowPx }}
      onKeyDown={onKey}
    >
      {drawn.map((at) => {
        const row = rows[at];
        return row ? (
          <li
            key={row.id}
            data-row={at}
            className="patient-row"
            aria-setsize={rows.length}
            aria-posinset={at + 1}
            style={{ transform: `translateY(${at * rowPx}px)`, height: rowPx }}
          >
            <Row
              practiceId={practiceId}
              row={row}
              tabIndex={at === active ? 0 : -1}
              onFocus={() => setActive(at)}
            />
          </li>
        ) : null;
      })}
    </ul>
  );
}

const range = (from: number, to: number): number[] =>
  Array.from({ length: Math.max(0, to - from) }, (_, i) => from + i);

/** Room above for the search that stays at the top. */
const ABOVE_PX = 170;

function bringIntoSight(list: HTMLElement | null, offsetPx: number, rowPx: number): void {
  if (!list) return;
  const top = list.getBoundingClientRect().top + offsetPx;
  if (top < ABOVE_PX) globalThis.scrollBy({ top: top - ABOVE_PX, behavior: 'instant' });
  else if (top + rowPx > globalThis.innerHeight)
    globalThis.scrollBy({ top: top + rowPx - globalThis.innerHeight + 8, behavior: 'instant' });
}

function Row({
  practiceId,
  row,
  tabIndex,
  onFocus,
}: {
  practiceId: string;
  row: PatientListRow;
  tabIndex: number;
  onFocus: () => void;
}) {
  const also = row.mergedFrom.map((m) => `${m.name}, number ${m.number}`).join('; ');
  return (
    <>
      <div>
        <p>
          <Link
            to="/p/$practiceId/patients/$patientId"
            params={{ practiceId, patientId: row.id }}
            tabIndex={tabIndex}
            onFocus={onFocus}
            preload={false}
          >
            {row.name}
          </Link>{' '}
          <span className="hint">number {row.number}</span>
        </p>
        <p className="hint">
          {sayPatientShort({ ...row, ageMonths: ageOn(row.birthDate, today()) })}
          {row.weightGuessed ? ' (guessed)' : ''}
        </p>
      </div>
      <div className="hint">
        <p>{row.keeperName || 'no keeper given'}</p>
        <p>{row.keeperPhone}</p>
      </div>
      <div className="hint">
        <p>{row.lastScanOn ? `scanned ${sayDay(row.lastScanOn)}` : 'not scanned yet'}</p>
        <p>{also ? `also was ${also}` : row.scans > 1 ? `${row.scans} scans` : ''}</p>
      </div>
    </>
  );
}
