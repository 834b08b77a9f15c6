import { horseViews, smallAnimalViews, type ViewId } from '@chordae/contract';
import { capital, momentsOfTheBeat, scanningCautions, viewGuides, viewNames } from '@chordae/words';
import { Link, useParams, useSearch } from '@tanstack/react-router';
import { useTitle } from '../../host/title';
import { CautionLine } from '../../kit/notice';
import { ProbeDrawing } from '../../kit/probe-drawing';
import { ViewSketch } from '../../kit/view-drawing';
import { FromTheShelf } from './from-the-shelf';
import { measuredOn, plansWith } from './guide-text';
import { ViewExamples } from './view-examples';

/** One standard view: probe, picture, what must be seen, what goes wrong, what is measured. */
export function ViewPage() {
  const { view: asked } = useParams({ from: '/shell/views/$view' });
  const { kind } = useSearch({ from: '/shell/views/$view' });
  const view = [...smallAnimalViews, ...horseViews].find((v) => v === asked);
  useTitle(view ? capital(viewNames[view]) : 'View guide');
  if (!view)
    return (
      <div className="page">
        <h1>View guide</h1>
        <p>There is no standard view of this name.</p>
        <p>
          <Link to="/views" search={{ kind }}>
            All views
          </Link>
        </p>
      </div>
    );
  return <OfView view={view} kind={view.startsWith('eq-') ? 'horse' : kind} />;
}

function OfView({ view, kind }: { view: ViewId; kind: 'dog' | 'cat' | 'horse' }) {
  const guide = viewGuides[view];
  const name = capital(viewNames[view]);
  const measured = measuredOn(view);
  const { needed, helps } = plansWith(view);
  const all = kind === 'horse' ? horseViews : smallAnimalViews;
  const at = all.indexOf(view);
  return (
    <div className="page guide-view">
      <p>
        <Link to="/views" search={{ kind }}>
          All views
        </Link>
      </p>
      <h1>{name}</h1>
      <div className="guide-pictures">
        <figure>
          <ViewSketch view={view} state="missing" />
          <figcaption className="hint">As it should look: marker dot on the right of the picture.</figcaption>
        </figure>
        <figure>
          <ProbeDrawing view={view} kind={kind} label={`Where the probe goes for: ${name}. ${guide.how}`} />
          <figcaption className="hint">Where the probe goes; the arrow is the side of its marker.</figcaption>
        </figure>
      </div>
      <ViewExamples key={`${view}:${kind}`} view={view} kind={kind} />
      <FromTheShelf view={view} kind={kind} />
      <dl className="guide-text">
        <dt>How to get it</dt>
        <dd>{guide.how}</dd>
        <dt>What must be seen</dt>
        <dd>{guide.see}</dd>
        <dt>How it goes wrong</dt>
        <dd>{guide.wrong}</dd>
        {measured.length > 0 ? (
          <>
            <dt>Measured here</dt>
            <dd>
              <details>
                <summary>{measured.map((m) => m.short).join(', ')}</summary>
                <ul className="small-list">
                  {measured.map((m) => (
                    <li key={m.short}>
                      {m.short}: {m.full}
                    </li>
                  ))}
                </ul>
              </details>
              {momentsOfTheBeat}
            </dd>
          </>
        ) : null}
        {needed.length > 0 ? (
          <>
            <dt>Needed for</dt>
            <dd>{needed.join(' · ')}</dd>
          </>
        ) : null}
        {helps.length > 0 ? (
          <>
            <dt>Helps with</dt>
            <dd>{helps.join(' · ')}</dd>
          </>
        ) : null}
      </dl>
      <ul className="small-list">
        {scanningCautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <p className="row">
        {all[at - 1] ? (
          <Link to="/views/$view" params={{ view: all[at - 1] as ViewId }} search={{ kind }}>
            Before: {viewNames[all[at - 1] as ViewId]}
          </Link>
        ) : null}
        {all[at + 1] ? (
          <Link to="/views/$view" params={{ view: all[at + 1] as ViewId }} search={{ kind }}>
            Next: {viewNames[all[at + 1] as ViewId]}
          </Link>
        ) : null}
      </p>
      <CautionLine />
    </div>
  );
}
