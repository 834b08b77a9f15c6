import type { CaseView, Interpretation } from '@chordae/contract';
import { AGAIN_HELD, formatMinutes, sayFlag } from '@chordae/words';
import { Button } from '../../kit/button';
import { Notice } from '../../kit/notice';
import { sayMoment, useNow } from '../../kit/time';
import { standingAnswer } from './case-input';
import { useReach } from './telephones';
import type { Answers } from './use-answers';

/** One touch stops every request for more views and counts the minutes; it says what stands and is enough to begin with. */
export function DistressSwitch({
  c,
  answers,
  result,
  editing,
}: {
  c: CaseView;
  answers: Answers;
  result: Interpretation;
  editing: boolean;
}) {
  const now = useNow();
  const reach = useReach(c);
  const on = answers.valueOf('scanning-stopped') === 'yes';
  const since = standingAnswer(c.observations, 'scanning-stopped');
  if (!on)
    return editing ? (
      <p className="row distress-off">
        <Button onClick={() => answers.give('scanning-stopped', 'yes')}>
          In distress: ask for nothing more
        </Button>
      </p>
    ) : null;
  const at = since?.value === 'yes' ? Date.parse(since.madeAt) : now;
  const minutes = Math.max(0, Math.floor((now - at) / 60_000));
  const flags = result.flags.filter((f) => f.level === 'act-now');
  return (
    <Notice level="act-now" live>
      <p className="answer-text">
        In distress since {sayMoment(new Date(at).toISOString())}
        {minutes > 0 ? `, ${formatMinutes(minutes)} on the table` : ''}.
      </p>
      <p>{AGAIN_HELD}</p>
      {flags.length > 0 ? (
        <ul className="small-list">
          {flags.map((flag) => (
            <li key={flag.key}>{sayFlag(flag, reach).sentence}</li>
          ))}
        </ul>
      ) : null}
      {editing ? (
        <p className="row">
          <Button look="quiet" onClick={() => answers.give('scanning-stopped', 'no')}>
            It copes again: go on
          </Button>
        </p>
      ) : null}
    </Notice>
  );
}
