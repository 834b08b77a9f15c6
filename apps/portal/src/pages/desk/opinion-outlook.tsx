import type { Interpretation, OpinionDraft, OpinionText } from '@chordae/contract';
import { proposeStages } from '@chordae/words';
import { Button } from '../../kit/button';
import { PhraseArea } from '../../kit/writing/phrase-area';

type Change = (make: (now: OpinionDraft) => Partial<OpinionText>) => void;

/** The stage: what the engine found is offered with its criteria, and written only when it is taken. */
export function StageField({
  stage,
  result,
  change,
}: {
  stage: string;
  result: Interpretation;
  change: Change;
}) {
  const offers = proposeStages(result.stages).filter((o) => o.text !== stage);
  return (
    <div className="stack-tight">
      <PhraseArea
        label="Stage"
        place={null}
        maxLength={120}
        value={stage}
        onChange={(text) => change(() => ({ stage: text }))}
      />
      {offers.map((offer) => (
        <div key={offer.scheme + offer.said} className="proposal">
          <p>
            {offer.text === null ? null : <b className="proposal-mark">Proposed</b>}{' '}
            {offer.text ?? offer.said}
          </p>
          <div className="row">
            {offer.text === null ? null : (
              <Button
                look="quiet"
                aria-label={`Take: ${offer.text}`}
                onClick={() => change(() => ({ stage: offer.text ?? '' }))}
              >
                Take
              </Button>
            )}
            <details className="hint">
              <summary>What it rests on</summary>
              {offer.because.map((line) => (
                <p key={line}>{line}</p>
              ))}
            </details>
          </div>
        </div>
      ))}
    </div>
  );
}
