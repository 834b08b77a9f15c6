import { horseViews, smallAnimalViews } from '@chordae/contract';
import { capital, planNames, scanningCautions, viewGuides, viewNames } from '@chordae/words';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useTitle } from '../../host/title';
import { CautionLine } from '../../kit/notice';
import { ViewSketch } from '../../kit/view-drawing';
import { KINDS, plansFor, sourceOf } from './guide-text';

/** All standard views as our own drawings, and one card to print for each question. */
export function ViewsPage() {
  useTitle('View guide');
  const { kind } = useSearch({ from: '/shell/views' });
  const go = useNavigate();
  const views = kind === 'horse' ? horseViews : smallAnimalViews;
  return (
    <div className="page">
      <div className="head-row">
        <h1>View guide</h1>
        <div className="segments" role="group" aria-label="Species">
          {KINDS.map(([id, words]) => (
            <button
              key={id}
              type="button"
              aria-pressed={kind === id}
              onClick={() => void go({ to: '/views', search: { kind: id }, replace: true })}
            >
              {words}
            </button>
          ))}
        </div>
      </div>
      <p className="hint">
        Where the probe goes, what must be seen, how it goes wrong. {sourceOf(kind)} It replaces no training.
      </p>
      <ul className="guide-grid">
        {views.map((view) => (
          <li key={view}>
            <Link to="/views/$view" params={{ view }} search={{ kind }}>
              <ViewSketch view={view} state="missing" />
              <span>{capital(viewNames[view])}</span>
            </Link>
            <p className="hint">{viewGuides[view].see}</p>
          </li>
        ))}
      </ul>
      <section className="form-part" aria-labelledby="cards">
        <h2 id="cards">One card for each question</h2>
        <p className="hint">The views that must be there and those that help, on one page to print.</p>
        <ul className="plain-list">
          {plansFor(kind).map((plan) => (
            <li key={plan}>
              <Link to="/views/card/$plan" params={{ plan }} search={{ kind }}>
                {planNames[plan]}
              </Link>
            </li>
          ))}
        </ul>
      </section>
      <section className="form-part" aria-labelledby="careful">
        <h2 id="careful">Before the probe</h2>
        <ul className="small-list">
          {scanningCautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </section>
      <CautionLine />
    </div>
  );
}
