import { ENGINE_VERSION, limitEntries, limitsHash } from '@chordae/interpretation';
import { Link } from '@tanstack/react-router';
import { useTitle } from '../host/title';

/** How things are computed: principles, then every limit with its population and source. */
export function HowPage() {
  useTitle('How it is computed');
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
      <p>
        {limitEntries.length} bounds with formula, population, source and how far the source was seen:{' '}
        <Link to="/limits" search={{ species: 'dog' }}>
          limits and their sources
        </Link>
        .
      </p>
      <p className="hint">
        Engine {ENGINE_VERSION}, limits {limitsHash.slice(0, 12)}.
      </p>
    </div>
  );
}
