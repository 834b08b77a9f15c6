import type { QueueRow } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { choicesIn, filterQueue, filtersAmong, isFiltered, NO_FILTERS, withChosen } from './queue-filters';

const row = (id: string, parts: Partial<QueueRow>): QueueRow => ({
  id,
  practiceId: 'p1',
  practiceName: 'Ash',
  groupName: 'Readers',
  number: 1,
  state: 'sent',
  plan: 'small-dog-murmur',
  patientName: id,
  species: 'dog',
  breedText: '',
  weightKg: 7,
  urgency: 'routine',
  createdAt: '2026-11-25T09:00:00Z',
  sentAt: '2026-11-25T09:00:00Z',
  dueAt: null,
  updatedAt: '2026-11-25T09:00:00Z',
  readerName: null,
  clipCount: 0,
  actNow: [],
  ageMonths: null,
  reasons: [],
  late: false,
  mine: false,
  paused: false,
  handedToMe: null,
  handedToName: null,
  revision: 1,
  secondReadOpen: false,
  questionOpen: false,
  ...parts,
});
const names = (rows: readonly QueueRow[]) => rows.map((r) => r.id);

const rows = [
  row('emergency cat', { species: 'cat', urgency: 'emergency', practiceId: 'p2', practiceName: 'Birch' }),
  row('flagged dog', { actNow: ['TAMPONADE_POSSIBLE'] }),
  row('taken emergency', { urgency: 'emergency', readerName: 'Somebody' }),
  row('urgent dog', { urgency: 'urgent' }),
  row('horse', { species: 'horse', plan: 'horse' }),
];

describe('the queue filtered', () => {
  it('shows all in their order without a filter', () => {
    expect(filterQueue(rows, NO_FILTERS)).toEqual({ shown: rows, hidden: 0, keptAll: 0 });
  });

  it('keeps what fits every filter', () => {
    const { shown } = filterQueue(rows.slice(2), { ...NO_FILTERS, species: 'dog', urgency: 'urgent' });
    expect(names(shown)).toEqual(['urgent dog']);
    expect(names(filterQueue(rows, { ...NO_FILTERS, untaken: true }).shown)).not.toContain('taken emergency');
  });

  it('never hides an untaken emergency or an act-now flag, and counts it apart', () => {
    const { shown, hidden, keptAll } = filterQueue(rows, { ...NO_FILTERS, species: 'horse' });
    expect(names(shown)).toEqual(['emergency cat', 'flagged dog', 'horse']);
    expect({ hidden, keptAll }).toEqual({ hidden: 2, keptAll: 2 });
  });

  it('minds what is not taken among the open referrals only', () => {
    const untaken = { ...NO_FILTERS, untaken: true };
    expect(filtersAmong(untaken, true)).toEqual(untaken);
    expect(filtersAmong(untaken, false)).toEqual(NO_FILTERS);
    expect([NO_FILTERS, untaken, { ...NO_FILTERS, plan: 'horse' }].map(isFiltered)).toEqual([
      false,
      true,
      true,
    ]);
  });

  it('keeps a chosen value in sight that stands in no row', () => {
    expect(withChosen([['dog', 'Dog']], 'dog')).toEqual([['dog', 'Dog']]);
    expect(withChosen([['dog', 'Dog']], '')).toEqual([['dog', 'Dog']]);
    expect(withChosen([['dog', 'Dog']], 'cat').map(([value]) => value)).toEqual(['dog', 'cat']);
  });

  it('offers each value once, by name', () => {
    expect(
      choicesIn(
        rows,
        (r) => r.practiceId,
        (r) => r.practiceName,
      ),
    ).toEqual([
      ['p1', 'Ash'],
      ['p2', 'Birch'],
    ]);
  });
});
