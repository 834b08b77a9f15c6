import type { Interpretation, Species } from '@chordae/contract';
import { AGAIN_HELD, capital, sayScanAgain, sayViewCompleteness, sayWithoutIt } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { ViewSketch } from '../../kit/view-drawing';
import { bodyOf } from '../views/guide-text';

/** How many of what to scan again stand open; the rest unfolds. */
const SHOWN = 3;

/** The views of the plan as drawings: filled, dotted, hatched, outline; then what to scan again, most useful first. */
export function CompletenessPart({ result, species }: { result: Interpretation; species: Species }) {
  return (
    <section className="part" aria-labelledby="p-views">
      <h2 id="p-views">Views for this question</h2>
      <ul className="views">
        {result.completeness.views.map((view) => {
          const said = sayViewCompleteness(view);
          return (
            <li key={view.view}>
              <ViewSketch view={view.view} state={view.state} />
              <p className="view-name">{capital(said.name)}</p>
              <p className="view-state">
                <b>{said.state}</b>, {view.need === 'must' ? 'needed' : 'helps'}
              </p>
              {view.why ? <p className="hint">{view.why}</p> : null}
              {said.how && result.completeness.againHeld === null ? (
                <details className="hint">
                  <summary>How to get it</summary>
                  {said.how}{' '}
                  <Link
                    to="/views/$view"
                    params={{ view: view.view }}
                    search={{ kind: bodyOf(species, view.view) }}
                  >
                    How it looks
                  </Link>
                </details>
              ) : null}
            </li>
          );
        })}
      </ul>
      <ScanAgainList completeness={result.completeness} />
    </section>
  );
}

/** What to scan again in one sentence each; nothing is asked of a patient in distress. */
function ScanAgainList({ completeness }: { completeness: Interpretation['completeness'] }) {
  const { again, againHeld, withoutIt } = completeness;
  if (againHeld) return <p className="again-held">{AGAIN_HELD}</p>;
  if (again.length === 0) return null;
  return (
    <div className="again">
      <h3>What would help most</h3>
      <ol className="small-list">
        {again.slice(0, SHOWN).map((one) => (
          <li key={one.view}>{sayScanAgain(one)}</li>
        ))}
      </ol>
      {again.length > SHOWN ? (
        <details>
          <summary>{again.length - SHOWN} more</summary>
          <ol className="small-list" start={SHOWN + 1}>
            {again.slice(SHOWN).map((one) => (
              <li key={one.view}>{sayScanAgain(one)}</li>
            ))}
          </ol>
        </details>
      ) : null}
      <p className="hint">{sayWithoutIt(withoutIt)}</p>
    </div>
  );
}
