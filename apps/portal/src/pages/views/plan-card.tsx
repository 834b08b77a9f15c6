import { viewsOf, wantedMeasurements } from '@chordae/interpretation';
import {
  CAUTION_LINE,
  capital,
  measurementNames,
  planNames,
  scanningCautions,
  viewGuides,
  viewNames,
} from '@chordae/words';
import { Link, useParams, useSearch } from '@tanstack/react-router';
import { useTitle } from '../../host/title';
import { Button } from '../../kit/button';
import { ProbeDrawing } from '../../kit/probe-drawing';
import { ViewSketch } from '../../kit/view-drawing';
import { isPlan, kindOf, sourceOf } from './guide-text';

/** One question on one page, to hang beside the table. */
export function PlanCard() {
  const { plan } = useParams({ from: '/shell/views/card/$plan' });
  const { kind: asked } = useSearch({ from: '/shell/views/card/$plan' });
  const known = isPlan(plan) ? plan : null;
  useTitle(known ? planNames[known] : 'View guide');
  if (!known) return <p className="page">There is no scan plan of this name.</p>;
  const kind = kindOf(known, asked);
  const views = viewsOf(known);
  const measured = wantedMeasurements(known, kind);
  return (
    <div className="page plan-card">
      <div className="head-row">
        <h1>{planNames[known]}</h1>
        <p className="row no-print">
          <Button onClick={() => window.print()}>Print this card</Button>
          <Link to="/views" search={{ kind }}>
            All views
          </Link>
        </p>
      </div>
      <ul className={views.length > 6 ? 'card-views card-many' : 'card-views'}>
        {views.map(({ view, need }) => (
          <li key={view}>
            <span>
              <ViewSketch view={view} state="missing" />
              <ProbeDrawing view={view} kind={kind} label={`Where the probe goes: ${viewNames[view]}`} />
            </span>
            <div>
              <h2>
                {capital(viewNames[view])}{' '}
                <span className="hint">{need === 'must' ? 'needed' : 'helps'}</span>
              </h2>
              <p>{viewGuides[view].how}</p>
              <p>
                <b>See:</b> {viewGuides[view].see}
              </p>
              <p>
                <b>Not:</b> {viewGuides[view].wrong}
              </p>
            </div>
          </li>
        ))}
      </ul>
      {measured.length > 0 ? (
        <p>
          <b>Measure, in this order:</b> {measured.map((m) => measurementNames[m.code].short).join(', ')}.
        </p>
      ) : null}
      <ul className="small-list">
        {scanningCautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <p className="caution">
        {CAUTION_LINE} {sourceOf(kind)}
      </p>
    </div>
  );
}
