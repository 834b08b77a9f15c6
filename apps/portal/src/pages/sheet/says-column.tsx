import type { CaseView, Interpretation, InterpretationInput } from '@chordae/contract';
import { sayChecks, sayMissing, sayStage, sayUrgency } from '@chordae/words';
import { useEarlier } from '../../host/use-earlier';
import { FlagSentence } from '../../kit/flag';
import { IndexLine } from '../../kit/index-line';
import { CautionLine } from '../../kit/notice';
import { OverTime } from '../../kit/over-time';
import { WhatWouldChange } from '../../kit/what-would-change';
import { useReach } from './telephones';

/** What the numbers and ticks say, act-now first; computed here as one types. */
export function SaysColumn({
  c,
  input,
  result,
}: {
  c: CaseView;
  input: InterpretationInput;
  result: Interpretation;
}) {
  const earlier = useEarlier(c, input);
  const context = useReach(c);
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
              <IndexLine
                key={index.code}
                index={index}
                earlier={earlier.valuesOf(index.code)}
                changes={earlier.change.changes.filter((x) => x.index === index.code)}
              />
            ))}
          </ul>
        </>
      ) : null}
      <OverTime earlier={earlier} place={{ practiceId: c.referral.practiceId, referralId: c.referral.id }} />
      <Stages stages={result.stages} />
      <WhatWouldChange input={input} />
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
            <li key={`${stage.scheme}-${stage.code}`} className="flag flag-note">
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
