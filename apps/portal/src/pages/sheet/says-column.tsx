import type { CaseView, Interpretation } from '@chordae/contract';
import { capital, sayChecks, sayMissing, sayStage, sayUrgency, sayViewCompleteness } from '@chordae/words';
import { FlagSentence } from '../../kit/flag';
import { IndexLine } from '../../kit/index-line';
import { CautionLine } from '../../kit/notice';
import { ViewSketch } from '../../kit/view-drawing';

/** What the numbers and ticks say, act-now first; computed here as one types. */
export function SaysColumn({ c, result }: { c: CaseView; result: Interpretation }) {
  const context = { phone: c.agreement?.groupPhone ?? null, contact: c.agreement?.emergencyContact ?? null };
  const answers = new Map(c.flagAnswers.map((a) => [a.flagKey, a]));
  return (
    <aside className="says" id="says" aria-label="What this says">
      <h2>What this says</h2>
      <p className="checks" role="status">
        {sayChecks(result.flags.length, result.checks)}
      </p>
      <ul className="flags" aria-label="Flags">
        {result.flags.map((flag) => (
          <FlagSentence key={flag.key} flag={flag} context={context} answer={answers.get(flag.key)} />
        ))}
      </ul>
      <p className="hint">{sayUrgency(result.urgencyProposed, result.urgencyBecause)}</p>
      {result.indices.length > 0 ? (
        <>
          <h3>Numbers on their limits</h3>
          <ul className="indices">
            {result.indices.map((index) => (
              <IndexLine key={index.code} index={index} />
            ))}
          </ul>
        </>
      ) : null}
      <Stages stages={result.stages} />
      {result.missing.length > 0 ? (
        <>
          <h3>Still missing</h3>
          <ul className="small-list">
            {result.missing.map((m) => (
              <li key={`${m.field}-${m.code}`}>{sayMissing(m)}</li>
            ))}
          </ul>
        </>
      ) : null}
      <CautionLine />
    </aside>
  );
}

function Stages({ stages }: { stages: Interpretation['stages'] }) {
  if (stages.length === 0) return null;
  return (
    <>
      <h3>Criteria of stages and scores</h3>
      <ul className="flags">
        {stages.map((stage) => {
          const said = sayStage(stage);
          return (
            <li key={stage.scheme} className="flag flag-note">
              <details>
                <summary>
                  <span className="flag-text">{said.sentence}</span>
                </summary>
                <div className="flag-more">
                  {said.reasons.map((r) => (
                    <p key={r}>{r}</p>
                  ))}
                  {said.sources.map((s) => (
                    <p key={s} className="source">
                      Source: {s}
                    </p>
                  ))}
                </div>
              </details>
            </li>
          );
        })}
      </ul>
    </>
  );
}

/** The views of the plan as drawings: filled, dotted, hatched, outline. */
export function CompletenessPart({ result }: { result: Interpretation }) {
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
              {said.how ? (
                <details className="hint">
                  <summary>How to get it</summary>
                  {said.how}
                </details>
              ) : null}
            </li>
          );
        })}
      </ul>
    </section>
  );
}
