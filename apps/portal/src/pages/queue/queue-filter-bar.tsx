import type { QueueRow } from '@chordae/contract';
import { capital, planNames, speciesNames, urgencyNames } from '@chordae/words';
import { Button } from '../../kit/button';
import { SelectField, Tick } from '../../kit/field';
import {
  choicesIn,
  filtersAmong,
  isFiltered,
  NO_FILTERS,
  type QueueFilters,
  withChosen,
} from './queue-filters';

/** What is chosen is said in words beside the count, and one touch shows all again. */
export function FilterBar({
  rows,
  filters,
  onChange,
  untaken,
}: {
  rows: readonly QueueRow[];
  filters: QueueFilters;
  onChange: (filters: QueueFilters) => void;
  /** Whether 'not taken' makes sense here. */
  untaken: boolean;
}) {
  const any = isFiltered(filtersAmong(filters, untaken));
  const select = (
    label: string,
    field: 'urgency' | 'species' | 'plan' | 'practice',
    choices: readonly (readonly [string, string])[],
  ) =>
    // One value leaves nothing to choose, unless it is chosen already.
    choices.length > 1 || filters[field] !== '' ? (
      <SelectField
        label={label}
        value={filters[field]}
        choices={[['', 'all'], ...withChosen(choices, filters[field])]}
        onChange={(e) => onChange({ ...filters, [field]: e.target.value })}
      />
    ) : null;
  const { urgency, species, plan } = {
    urgency: choicesIn(
      rows,
      (r) => r.urgency,
      (r) => (r.urgency ? capital(urgencyNames[r.urgency]) : ''),
    ),
    species: choicesIn(
      rows,
      (r) => r.species,
      (r) => capital(speciesNames[r.species as keyof typeof speciesNames] ?? r.species),
    ),
    plan: choicesIn(
      rows,
      (r) => r.plan,
      (r) => planNames[r.plan],
    ),
  };
  const practice = choicesIn(
    rows,
    (r) => r.practiceId,
    (r) => r.practiceName,
  );
  return (
    <details className="queue-only" open={any || undefined}>
      <summary>Show only some</summary>
      <div className="queue-filters" role="group" aria-label="Show only">
        {select('Urgency', 'urgency', urgency)}
        {select('Species', 'species', species)}
        {select('Scan plan', 'plan', plan)}
        {select('Practice', 'practice', practice)}
        {untaken ? (
          <Tick
            label="Not taken yet"
            checked={filters.untaken}
            onChange={(on) => onChange({ ...filters, untaken: on })}
          />
        ) : null}
        {any ? (
          <Button look="quiet" onClick={() => onChange(NO_FILTERS)}>
            Show all
          </Button>
        ) : null}
      </div>
    </details>
  );
}
