import type { Interpretation, NotPossibleReason, ScanState, Species, ViewId } from '@chordae/contract';
import { AGAIN_HELD, capital, sayScanAgain, sayViewCompleteness, sayWithoutIt } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import type { KeyboardEvent } from 'react';
import { ViewSketch } from '../../kit/view-drawing';
import { bodyOf } from '../views/guide-text';

/** How many of what to scan again stand open; the rest unfolds. */
const SHOWN = 3;

/** The views of the plan as drawings: filled, dotted, hatched, outline; then what to scan again, most useful first. */
export function CompletenessPart({
  result,
  species,
  notPossible = {},
  onNotPossible = null,
}: {
  result: Interpretation;
  species: Species;
  notPossible?: NonNullable<ScanState['notPossible']>;
  /** null: nothing may be changed now. */
  onNotPossible?: ((said: NonNullable<ScanState['notPossible']>) => void) | null;
}) {
  const say = (view: ViewId, why: NotPossibleReason | null) => {
    const { [view]: _, ...others } = notPossible;
    onNotPossible?.(why === null ? others : { ...others, [view]: why });
  };
  return (
    <section className="part" aria-labelledby="p-views">
      <h2 id="p-views">Views for this question</h2>
      <ul className="views">
        {result.completeness.views.map((view) => {
          const said = sayViewCompleteness(view);
          return (
            <li
              key={view.view}
              onKeyDown={(event) => {
                const asked =
                  onNotPossible !== null && (view.state === 'missing' || view.state === 'not-possible');
                const why = reasonByKey(event);
                if (!asked || !why) return;
                event.preventDefault();
                say(view.view, notPossible[view.view] === why ? null : why);
              }}
            >
              <ViewSketch view={view.view} state={view.state} />
              <p className="view-name">{capital(said.name)}</p>
              <p className="view-state">
                <b>{said.state}</b>, {view.need === 'must' ? 'needed' : 'helps'}
              </p>
              {view.why ? <p className="hint">{view.why}</p> : null}
              {onNotPossible !== null && (view.state === 'missing' || view.state === 'not-possible') ? (
                <NotPossible
                  name={said.name}
                  why={notPossible[view.view] ?? null}
                  onSay={(why) => say(view.view, why)}
                />
              ) : null}
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

/** One key each, while the view has the focus. */
const REASON_KEYS: readonly (readonly [string, NotPossibleReason])[] = [
  ['p', 'panting'],
  ['d', 'distress'],
  ['w', 'no window'],
  ['t', 'no time left'],
];

function reasonByKey(event: KeyboardEvent<HTMLElement>): NotPossibleReason | null {
  if (event.metaKey || event.ctrlKey || event.altKey) return null;
  return REASON_KEYS.find(([key]) => key === event.key)?.[1] ?? null;
}

/** Why a view could not be had: one touch, or one key; the same again takes it back. */
function NotPossible({
  name,
  why,
  onSay,
}: {
  name: string;
  why: NotPossibleReason | null;
  onSay: (why: NotPossibleReason | null) => void;
}) {
  return (
    <div className="not-possible" role="group" aria-label={`Not possible: ${name}`}>
      <span className="hint">Not possible:</span>
      {REASON_KEYS.map(([key, reason]) => (
        <button
          key={reason}
          type="button"
          className="not-possible-why"
          aria-pressed={why === reason}
          aria-keyshortcuts={key}
          onClick={() => onSay(why === reason ? null : reason)}
        >
          {reason}{' '}
          <kbd className="key" aria-hidden="true">
            {key}
          </kbd>
        </button>
      ))}
    </div>
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
