import type { LimitEntry } from '@chordae/interpretation';
import { ENGINE_VERSION, limitEntries, limitsHash } from '@chordae/interpretation';
import { nameOf, saySource, speciesNames } from '@chordae/words';
import { useTitle } from '../host/title';

const ROLES: Record<LimitEntry['role'], string> = {
  grade: 'grades',
  stage: 'one criterion of a stage',
  comparison: 'shown for comparison only',
  reference: 'checks whether a value is plausible',
  'not-available': 'not available: shown, not graded',
};

function bounds({ form }: LimitEntry): string {
  if (form.kind === 'linear') return `upper bound = ${form.slope} × kg + ${form.intercept} mm`;
  if (form.kind === 'power')
    return `${form.lowerA} to ${form.upperA} × kg^${form.exponent} cm (mean ${form.meanA})`;
  if (form.lower !== null && form.upper !== null) return `${form.lower} to ${form.upper}`;
  if (form.upper !== null) return `up to ${form.upper}`;
  return form.lower === null ? 'grades only' : `from ${form.lower}`;
}

/** How things are computed: principles, then every limit with its population and source. */
export function HowPage() {
  useTitle('How it is computed');
  const bySpecies = bySpeciesOf(limitEntries);
  return (
    <div className="page how">
      <h1>How it is computed</h1>
      <p className="lead">
        Numbers are computed from what was typed or measured, for this species, breed and body weight, in your
        browser and again on the server with the same result. Nothing is guessed: without a weight, a unit or
        a calibration, what rests on it is not computed, and the page says so.
      </p>
      <h2>What to keep in mind</h2>
      <ul>
        <li>Decision support for licensed veterinary professionals; not a diagnosis.</li>
        <li>
          No flag is not an all-clear: each summary says how many checks could run and what was not assessed.
          ‘Normal’ is never written, only ‘within the limits of’ a source.
        </li>
        <li>
          Limits differ with breed, method and source. Where a limit is from memory or common practice, it
          says so.
        </li>
        <li>Stabilise a patient in distress first, and do not wait for an opinion.</li>
        <li>Dosage and treatment are for the attending veterinarian under local law.</li>
      </ul>
      <h2>How a number finds its limit</h2>
      <p>
        A breed’s own limit comes first, then its group’s, then one by body weight. In young animals, and in
        breeds that general limits do not fit, the value is shown and not graded. A value within measuring
        error of a bound is marked so. Function is not graded after an alpha-2 sedative, with an arrhythmia,
        or with a flat septum.
      </p>
      <h2>Every limit and its source</h2>
      {[...bySpecies].map(([species, limits]) => (
        <section key={species} aria-labelledby={`h-${species}`}>
          <h3 id={`h-${species}`}>{speciesNames[species]}</h3>
          <div className="table-scroll" role="region" aria-labelledby={`h-${species}`} tabIndex={0}>
            <table className="limits">
              <thead>
                <tr>
                  <th scope="col">Index</th>
                  <th scope="col">Bounds</th>
                  <th scope="col">Used as</th>
                  <th scope="col">Population and source</th>
                </tr>
              </thead>
              <tbody>
                {limits.map((limit) => (
                  <tr key={limit.id}>
                    <th scope="row">{nameOf(limit.index)}</th>
                    <td>{bounds(limit)}</td>
                    <td>{ROLES[limit.role]}</td>
                    <td>
                      {limit.population}
                      {limit.breeds ? ` (${limit.breeds.join(', ')})` : ''}.{' '}
                      <span className="source">{saySource(limit)}</span>
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </section>
      ))}
      <p className="hint">
        Engine {ENGINE_VERSION}, limits {limitsHash.slice(0, 12)}.
      </p>
    </div>
  );
}

function bySpeciesOf(limits: readonly LimitEntry[]): Map<LimitEntry['species'], LimitEntry[]> {
  const groups = new Map<LimitEntry['species'], LimitEntry[]>();
  for (const limit of limits) groups.set(limit.species, [...(groups.get(limit.species) ?? []), limit]);
  return groups;
}
