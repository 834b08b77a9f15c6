import type { Learning, ViewLearning } from '@chordae/contract';
import { capital, measurementNames, sayMeasured, sayNotYet, sayTally, viewNames } from '@chordae/words';
import '../../styles/practice.css';

/** What readers made of somebody's scans, by view and by quantity. */
export function LearningView({ learning }: { learning: Learning }) {
  if (learning.answeredCases < learning.from) return <p>{sayNotYet(learning)}</p>;
  return (
    <>
      <p className="hint">
        From {learning.answeredCases} answered cases. A view counts as its reader judged it last, and as the
        view the reader took it for. What was not judged says nothing either way.
      </p>
      <h3>By view</h3>
      <ul className="learning">
        {learning.views.map((view) => (
          <li key={view.view}>
            <h4>{capital(viewNames[view.view])}</h4>
            <p>{sayTally(view)}</p>
            <Quarters view={view} />
          </li>
        ))}
      </ul>
      <h3>By measurement</h3>
      {learning.measured.length === 0 ? (
        <p className="empty">No quantity was measured by both sides on the same view and beat yet.</p>
      ) : (
        <dl className="facts">
          {learning.measured.map((m) => (
            <div key={m.code} className="facts-pair">
              <dt>{measurementNames[m.code].short}</dt>
              <dd>{sayMeasured(m)}</dd>
            </div>
          ))}
        </dl>
      )}
      <p className="hint">
        Two people who measure the same picture differ. What counts as more than that is 2.77 times the
        published coefficient of variation of the species. Neither side is taken for the truth.
      </p>
    </>
  );
}

/** One bar a quarter: adequate full, doubtful striped, the rest open. The words beside it say the same. */
function Quarters({ view }: { view: ViewLearning }) {
  const most = Math.max(...view.quarters.map(countOf));
  return (
    <ol className="learning-quarters">
      {view.quarters.slice(-8).map((q) => (
        <li key={q.quarter}>
          <span className="learning-when">{q.quarter.replace('-', ' ')}</span>
          <span
            className="learning-bar"
            style={{ width: `${(countOf(q) / most) * 100}%` }}
            aria-hidden="true"
          >
            <span className="learning-adequate" style={{ flexGrow: q.adequate }} />
            <span className="learning-doubtful" style={{ flexGrow: q.doubtful }} />
            <span className="learning-rest" style={{ flexGrow: q.notPossible + q.notJudged }} />
          </span>
          <span className="hint">{sayTally(q)}</span>
        </li>
      ))}
    </ol>
  );
}

const countOf = (q: ViewLearning['quarters'][number]): number =>
  q.adequate + q.doubtful + q.notPossible + q.notJudged;
