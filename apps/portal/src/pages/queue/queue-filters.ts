import type { QueueRow } from '@chordae/contract';

/** What a reader wants to see of the queue; an empty string means all. */
export interface QueueFilters {
  readonly untaken: boolean;
  readonly urgency: string;
  readonly species: string;
  readonly plan: string;
  readonly practice: string;
}

export const NO_FILTERS: QueueFilters = { untaken: false, urgency: '', species: '', plan: '', practice: '' };

/** The filters that act on a list: 'not taken yet' has a meaning among the open referrals only. */
export function filtersAmong(filters: QueueFilters, open: boolean): QueueFilters {
  return open ? filters : { ...filters, untaken: false };
}

/** Whether anything is chosen at all. */
export function isFiltered(filters: QueueFilters): boolean {
  return (
    filters.untaken ||
    [filters.urgency, filters.species, filters.plan, filters.practice].some((f) => f !== '')
  );
}

/** Choices with the chosen value among them: one that stands in no row any more is still shown, not as 'all'. */
export function withChosen(
  choices: readonly (readonly [string, string])[],
  chosen: string,
): readonly (readonly [string, string])[] {
  return chosen === '' || choices.some(([value]) => value === chosen)
    ? choices
    : [...choices, [chosen, 'chosen before, none here now']];
}

const same = (wanted: string, found: string | null): boolean => wanted === '' || wanted === found;

/**
 * Rows that fit every filter, in their order. A row with an act-now flag or of an emergency is never filtered away by
 * urgency, species, plan or practice: it is kept and counted apart, so that no filter hides a dying animal.
 */
export function filterQueue(
  rows: readonly QueueRow[],
  filters: QueueFilters,
): { readonly shown: QueueRow[]; readonly hidden: number; readonly keptAll: number } {
  const shown: QueueRow[] = [];
  let keptAll = 0;
  for (const row of rows) {
    const fits =
      (!filters.untaken || row.readerName === null) &&
      same(filters.urgency, row.urgency) &&
      same(filters.species, row.species) &&
      same(filters.plan, row.plan) &&
      same(filters.practice, row.practiceId);
    const danger = row.readerName === null && (row.actNow.length > 0 || row.urgency === 'emergency');
    if (fits || danger) shown.push(row);
    if (!fits && danger) keptAll += 1;
  }
  return { shown, hidden: rows.length - shown.length, keptAll };
}

/** Values that occur, each once, in the order of the names that people read. */
export function choicesIn(
  rows: readonly QueueRow[],
  value: (row: QueueRow) => string | null,
  name: (row: QueueRow) => string,
): (readonly [string, string])[] {
  const found = new Map<string, string>();
  for (const row of rows) {
    const v = value(row);
    if (v !== null) found.set(v, name(row));
  }
  return [...found].sort((a, b) => a[1].localeCompare(b[1]));
}
